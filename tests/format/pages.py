"""The worked values of docs/format, made anew: `python -m tests.format.pages` writes them in.

Keys are those of RFC 8032 section 7.1: test 1 for the shop, test 2 for its node, test 3 for a
witness. Everybody knows them: what they sign proves nothing.
"""

from __future__ import annotations

import hashlib
import json
import re
from collections.abc import Callable
from pathlib import Path
from typing import Any

from tests.format.documents import base64url, canonical, id_of
from tests.format.keys import jwk, key_id, private, proof_bytes, public
from tests.format.log import consistency, inclusion, leaf, node, root
from tests.format.notes import (
    COSIGNATURE,
    checkpoint_text,
    cosigned,
    cosigned_bytes,
    signed,
    vkey,
)

ROOT = Path(__file__).resolve().parents[2]
FOLDER = ROOT / "docs" / "format"
RECORDS = ROOT / "fixtures" / "records"
BUNDLE = ROOT / "fixtures" / "bundles" / "two-tags.json"
SHOP_SEED = "9d61b19deffd5a60ba844af492ec2cc44449c5697b326919703bac031cae7f60"
NODE_SEED = "4ccd089b28ff96da9db6c346ec114e0f5b8a319f35aba624da8cf6ed4fb8a6fb"
WITNESS_SEED = "c5aa8df43f9f837bedb7442f31dcb7b166d38535076f094b85ce3a2e0b4458f7"
SHOP, NODE = "fellbench@node.example", "node@node.example"
ORIGIN, WITNESS = "node.example/log", "lake.example/log"
SEEN_AT_S = 1_738_335_900
LOG = ("key-node", "key", "usage", "measurement-value", "erasure")
# The fourth row stands as erased, by the fifth.
BLOCK = re.compile(r"<!-- worked: ([a-z-]+) -->\n```[a-z]*\n(.*?)\n```", re.DOTALL)


def golden(name: str) -> dict[str, Any]:
    """Read a golden record."""
    kept: dict[str, Any] = json.loads((RECORDS / f"{name}.json").read_text(encoding="utf-8"))
    return kept


def ids() -> list[str]:
    """Give the ids of the small log of the pages."""
    return [id_of(canonical(golden(name)["document"])) for name in LOG]


def later_row() -> dict[str, Any]:
    """Give the row of the golden bundle whose record is of a later format."""
    rows = json.loads(BUNDLE.read_bytes())["bundle"]["records"]
    return next(row for row in rows if row.get("record", {}).get("format") == 2)


def checkpoint() -> str:
    """Give the text of the checkpoint of the small log."""
    return checkpoint_text(ORIGIN, len(LOG), root(ids()))


def record() -> str:
    return json.dumps(golden("usage")["document"], indent=2, ensure_ascii=False)


def record_canonical() -> str:
    return canonical(golden("usage")["document"]).decode()


def record_id() -> str:
    return id_of(canonical(golden("usage")["document"]))


def keys() -> str:
    lines = []
    for name, seed in (("shop", SHOP_SEED), ("node", NODE_SEED)):
        raw = public(private(seed))
        lines += [
            f"{name} seed    {seed}",
            f"{name} public  {base64url(raw)}",
            f"{name} JWK     {jwk(raw).decode()}",
            f"{name} key id  {key_id(raw)}",
        ]
    return "\n".join(lines)


def signature() -> str:
    data = canonical(golden("usage")["document"])
    return base64url(private(SHOP_SEED).sign(data))


def proof() -> str:
    data = proof_bytes(SHOP)
    signature = base64url(private(SHOP_SEED).sign(data))
    return f"bytes  {json.dumps(data.decode())}\nproof  {signature}"


def key_record() -> str:
    return canonical(golden("key")["document"]).decode()


def tree() -> str:
    known = ids()
    leaves = [f"leaf {i}   {leaf(one).hex()}" for i, one in enumerate(known)]
    pair = f"node 0,1 {node(leaf(known[0]), leaf(known[1])).hex()}"
    roots = [f"root {n}   {root(known[:n]).hex()}" for n in range(len(known) + 1)]
    places = [f"id {i}     {one}" for i, one in enumerate(known)]
    return "\n".join([*places, *leaves, pair, *roots])


def inclusion_proof() -> str:
    return "\n".join(one.hex() for one in inclusion(2, ids()))


def consistency_proof() -> str:
    return "\n".join(one.hex() for one in consistency(3, ids()))


def node_vkey() -> str:
    return vkey(ORIGIN, public(private(NODE_SEED)))


def signed_checkpoint() -> str:
    return f"{checkpoint()}\n{signed(checkpoint(), ORIGIN, private(NODE_SEED))}"


def cosignature() -> str:
    key = private(WITNESS_SEED)
    signed_bytes = json.dumps(cosigned_bytes(checkpoint(), SEEN_AT_S).decode())
    line = cosigned(checkpoint(), WITNESS, key, SEEN_AT_S)
    return f"vkey   {vkey(WITNESS, public(key), COSIGNATURE)}\nbytes  {signed_bytes}\nline   {line}"


def export() -> str:
    lines = [_line(i, name) for i, name in enumerate(LOG)]
    before = "".join(f"{line}\n" for line in lines).encode()
    end = {"count": len(LOG), "digest": hashlib.sha256(before).hexdigest()}
    return "\n".join([*lines, json.dumps({"end": {**end, "from": 0, "until": len(LOG)}})])


def _line(index: int, name: str) -> str:
    head = f'{{"index":{index},"id":"{ids()[index]}",'
    if name == "measurement-value":
        return f'{head}"erased_by":"{ids()[index + 1]}"}}'
    document = canonical(golden(name)["document"]).decode()
    return f'{head}"signature":"{golden(name)["signature"]}","record":{document}}}'


def bundle() -> str:
    data = BUNDLE.read_bytes()
    whole = json.loads(data)
    return "\n".join(
        [
            f"bytes of the file    {len(data)}",
            f"SHA-256 of the file  {hashlib.sha256(data).hexdigest()}",
            f"bytes signed         {len(canonical(whole['bundle']))}",
            f"node_key             {whole['bundle']['node_key']}",
            f"signature            {whole['signature']}",
        ]
    )


def later() -> str:
    row = later_row()
    data = canonical(row["record"])
    return f"{data.decode()}\nid  {id_of(data)}"


WORKED: dict[str, Callable[[], str]] = {
    "record": record,
    "record-canonical": record_canonical,
    "record-id": record_id,
    "keys": keys,
    "signature": signature,
    "key-proof": proof,
    "key-record": key_record,
    "tree": tree,
    "inclusion": inclusion_proof,
    "consistency": consistency_proof,
    "node-vkey": node_vkey,
    "checkpoint": signed_checkpoint,
    "cosignature": cosignature,
    "export": export,
    "bundle": bundle,
    "later-format": later,
}


def pages() -> list[Path]:
    """Give the pages of the specification."""
    return sorted(FOLDER.glob("*.md"))


def main() -> None:
    """Write every worked value into its block."""
    for page in pages():
        text = page.read_text(encoding="utf-8")

        def anew(block: re.Match[str]) -> str:
            start, end = block.start(2) - block.start(), block.end(2) - block.start()
            return f"{block[0][:start]}{WORKED[block[1]]()}{block[0][end:]}"

        page.write_text(BLOCK.sub(anew, text), encoding="utf-8")


if __name__ == "__main__":
    main()
