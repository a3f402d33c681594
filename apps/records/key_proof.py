"""Proof that whoever registers a key holds its private half: a signature over the shop's handle.

Without it a node could register another shop's public key for a shop of its own, and what that key
signed would seem to be written twice.
"""

from __future__ import annotations

from apps.records.signing import PrivateKey, PublicKey, SignatureCheck

# A record's bytes begin with a brace and a checkpoint with a host name: a proof is never a
# signature of either.
HEAD = "ski-service-registry key v1"


def proof_bytes(handle: str) -> bytes:
    """Give the bytes that a proof signs: two lines of ASCII, each with its line feed."""
    return f"{HEAD}\n{handle}\n".encode("ascii")


def prove(private: PrivateKey, handle: str) -> str:
    """Prove that a key is held.

    Parameters
    ----------
    private : PrivateKey
        The key that is to be registered.
    handle : str
        Handle of the shop that it is to sign for.

    Returns
    -------
    proof : str
        Base64url without padding, 86 characters.
    """
    return private.sign_text(proof_bytes(handle))


def proof_holds(public: PublicKey, handle: str, proof: str) -> SignatureCheck:
    """Say whether a proof was made with the key for this shop, and why not."""
    return public.verify(proof_bytes(handle), proof)
