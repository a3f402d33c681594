"""Reads QR codes off what a browser draws, as a camera would: from the pixels alone."""

from __future__ import annotations

import base64
from typing import Any, cast

import numpy as np
import zxingcpp
from playwright.sync_api import Locator

QR_CODES = zxingcpp.BarcodeFormats([zxingcpp.BarcodeFormat.QRCode])
# The browser opens its own picture again, so that no program for pictures is needed here.
GREY = """async (text) => {
  const bytes = Uint8Array.from(atob(text), (one) => one.charCodeAt(0));
  const bitmap = await createImageBitmap(new Blob([bytes]));
  const { width, height } = bitmap;
  const context = new OffscreenCanvas(width, height).getContext("2d");
  context.drawImage(bitmap, 0, 0);
  const { data } = context.getImageData(0, 0, width, height);
  let grey = "";
  for (let at = 0; at < data.length; at += 4) grey += String.fromCharCode(data[at + 1]);
  return { width, height, grey: btoa(grey) };
}"""


def read_codes(drawn: Locator) -> list[str]:
    """Give what the QR codes on a part of a page say, from above to below."""
    picture = base64.b64encode(drawn.screenshot()).decode()
    found = cast("dict[str, Any]", drawn.page.evaluate(GREY, picture))
    grey = np.frombuffer(base64.b64decode(found["grey"]), dtype=np.uint8)
    pixels = grey.reshape(found["height"], found["width"])
    codes = zxingcpp.read_barcodes(pixels, formats=QR_CODES)
    in_order = sorted(codes, key=lambda code: (code.position.top_left.y, code.position.top_left.x))
    return [code.text for code in in_order]
