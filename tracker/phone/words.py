"""What the phone's server says to crews beyond the rules' words, in both tongues."""

from collections.abc import Mapping
from typing import Any

from tracker import words

SENTENCES: dict[str, tuple[str, str]] = {
    "unreadable": (
        "The server could not read this. It is kept for the office.",
        "El servidor no pudo leer esto. Queda guardado para la oficina.",
    ),
    "fault": (
        "The server could not use this. It is kept for the office.",
        "El servidor no pudo usar esto. Queda guardado para la oficina.",
    ),
    "id_reused": (
        "Another entry has this number already. It is kept for the office.",
        "Otro dato ya tiene este número. Queda guardado para la oficina.",
    ),
    "other_person": (
        "This was entered by another person than the one signed in. It is kept for "
        "the office.",
        "Esto lo puso otra persona. Queda guardado para la oficina.",
    ),
    "device_revoked": (
        "The office has shut this phone out. What it sent is kept for the office.",
        "La oficina cerró el acceso de este teléfono. Lo enviado queda guardado "
        "para la oficina.",
    ),
    "member_disabled": (
        "This person no longer works here. What was sent is kept for the office.",
        "Esta persona ya no trabaja aquí. Lo enviado queda guardado para la oficina.",
    ),
    "waits_for": (
        "An earlier entry has to come first.",
        "Antes tiene que llegar un dato anterior.",
    ),
    "photo_missing": (
        "The photo is not on the server yet.",
        "La foto todavía no está en el servidor.",
    ),
    "photo_refused": (
        "The photo could not be used. Take it again.",
        "La foto no sirve. Tómela otra vez.",
    ),
    "not_an_image": (
        "This file is not a photo. Take it again.",
        "Este archivo no es una foto. Tómela otra vez.",
    ),
    "too_large": (
        "This photo is too large. Take it again with the phone's usual size.",
        "Esta foto es demasiado grande. Tómela otra vez en tamaño normal.",
    ),
    "chunk_corrupt": (
        "A piece of the photo was damaged on its way. It is sent again.",
        "Una parte de la foto llegó dañada. Se envía otra vez.",
    ),
    "hash_mismatch": (
        "The photo was damaged on its way. It is sent again.",
        "La foto llegó dañada. Se envía otra vez.",
    ),
    "offset_moved": (
        "The server has another part of this photo already.",
        "El servidor ya tiene otra parte de esta foto.",
    ),
    "upload_busy": (
        "Another connection is sending this photo.",
        "Otra conexión está enviando esta foto.",
    ),
    "bad_code": (
        "This code is unknown, used or out of date. Ask the office for a new one.",
        "Este código no existe, ya se usó o venció. Pida otro a la oficina.",
    ),
    "too_many_tries": (
        "Too many tries. Wait a minute.",
        "Demasiados intentos. Espere un minuto.",
    ),
    "sign_in": (
        "The office must let this phone in again. What you entered is kept.",
        "La oficina debe dar acceso otra vez. Lo que puso está guardado.",
    ),
    "not_found": (
        "There is no such thing here.",
        "Eso no existe aquí.",
    ),
    "bad_request": (
        "The request could not be read.",
        "No se pudo leer la petición.",
    ),
    "not_allowed": (
        "Your role may not do this. Ask the office.",
        "Su puesto no puede hacer esto. Pregunte a la oficina.",
    ),
    "server_fault": (
        "The server failed. It is tried again.",
        "El servidor falló. Se intenta otra vez.",
    ),
}


def both(reason: Mapping[str, Any]) -> dict[str, str]:
    """A reason in English and Spanish: {"code", "en", "es"}."""
    code = str(reason.get("code", "fault"))
    if pair := SENTENCES.get(code):
        return {"code": code, "en": pair[0], "es": pair[1]}
    english = words.say(reason, "en")
    return {"code": code, "en": english, "es": words.say(reason, "es")}
