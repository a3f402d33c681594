// Reads a label with the camera, where the browser itself can: nothing is sent anywhere for it.
"use strict";

(() => {
  const form = document.querySelector("form[data-scan]");
  if (!form || !("BarcodeDetector" in window) || !navigator.mediaDevices?.getUserMedia) return;

  const start = form.querySelector("[data-scan-start]");
  const stop = form.querySelector("[data-scan-stop]");
  const view = form.querySelector("[data-scan-view]");
  const video = form.querySelector("video");
  const said = form.querySelector("[data-scan-said]");
  const field = form.elements.namedItem("tag");
  const EVERY_MS = 200;
  let stream = null;

  function end() {
    stream?.getTracks().forEach((track) => track.stop());
    stream = null;
    view.hidden = true;
    start.hidden = false;
  }

  async function look(detector) {
    while (stream) {
      const [code] = await detector.detect(video);
      if (code?.rawValue) {
        field.value = code.rawValue;
        end();
        form.requestSubmit();
        return;
      }
      await new Promise((resolve) => setTimeout(resolve, EVERY_MS));
    }
  }

  async function begin() {
    said.textContent = "";
    try {
      stream = await navigator.mediaDevices.getUserMedia({ video: { facingMode: "environment" } });
      video.srcObject = stream;
      view.hidden = false;
      start.hidden = true;
      await video.play();
      await look(new BarcodeDetector({ formats: ["qr_code"] }));
    } catch {
      end();
      said.textContent = said.dataset.denied;
      field.focus();
    }
  }

  start.hidden = false;
  start.addEventListener("click", begin);
  stop.addEventListener("click", end);
  addEventListener("pagehide", end);
})();
