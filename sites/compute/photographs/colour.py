"""Brings the pixels of any photograph to 8-bit RGB in sRGB on white, as they were meant to look."""

from io import BytesIO

from PIL import Image, ImageChops, ImageCms

# What an ICC profile calls the colour space of each of Pillow's modes (ICC.1:2022, table 19).
_PROFILE_SPACES = {"L": "GRAY", "RGB": "RGB ", "CMYK": "CMYK", "LAB": "Lab "}
_SIXTEEN_BIT_HIGH_BYTE = {"I;16": 1, "I;16L": 1, "I;16B": 0}
_PREMULTIPLIED = {"La": "LA", "RGBa": "RGBA"}
_PLAIN_MODES = frozenset(("L", "LA", "RGB", "RGBA", "CMYK", "LAB"))
_WHITE = (255, 255, 255)
_PROBE_STEPS = range(0, 256, 51)


def continuous(image: Image.Image) -> Image.Image:
    """Return `image` in a mode whose pixels can be averaged, any transparency as an alpha channel.

    That is L, LA, RGB, RGBA, CMYK, LAB or 16-bit grey; palettes and single bits are not.
    """
    if image.mode in _SIXTEEN_BIT_HIGH_BYTE:
        return image
    if image.has_transparency_data and image.mode not in ("LA", "RGBA", *_PREMULTIPLIED):
        return image.convert("RGBA")
    if image.mode in _PREMULTIPLIED:
        return image.convert(_PREMULTIPLIED[image.mode])
    if image.mode == "1":
        return image.convert("L")
    return image if image.mode in _PLAIN_MODES else image.convert("RGB")


def eight_bit(image: Image.Image) -> Image.Image:
    """Return a 16-bit grey picture as 8-bit grey by its upper bytes, any other as it is.

    Pillow's own conversion would clip all but the darkest greys to white.
    """
    if image.mode not in _SIXTEEN_BIT_HIGH_BYTE:
        return image
    first = _SIXTEEN_BIT_HIGH_BYTE[image.mode]
    return Image.frombytes("L", image.size, image.tobytes()[first::2])


def upright_cmyk(image: Image.Image) -> Image.Image:
    """Return a CMYK JPEG's picture with 0 for no ink, as the other formats have it.

    Adobe's programs store ink the other way round and say so by a marker; Pillow turns every CMYK
    JPEG round, so that those without the marker have to be turned back.
    """
    if image.mode == "CMYK" and "adobe" not in image.info:
        return ImageChops.invert(image)
    return image


def to_srgb(image: Image.Image, icc_profile: bytes | None) -> Image.Image:
    """Return `image` as RGB in sRGB, perceptual intent, flattened on white.

    image: in one of the modes that `continuous` returns, 16-bit grey excepted.
    icc_profile: as embedded. One that cannot be read, or that belongs to another kind of picture,
        is left aside; the values are then taken for sRGB, or turned from plain CMYK.
    """
    alpha = image.getchannel("A") if image.mode in ("LA", "RGBA") else None
    colours = image.convert(image.mode[:-1]) if alpha else image
    converted = _by_profile(colours, icc_profile) or _without_profile(colours)
    if alpha is None:
        return converted
    flattened = Image.new("RGB", image.size, _WHITE)
    flattened.paste(converted, mask=alpha)
    return flattened


def _by_profile(image: Image.Image, icc_profile: bytes | None) -> Image.Image | None:
    """Return `image` converted by its profile, or None where the profile cannot be used."""
    if not icc_profile:
        return None
    try:
        profile = ImageCms.ImageCmsProfile(BytesIO(icc_profile))
        if profile.profile.xcolor_space != _PROFILE_SPACES[image.mode]:
            return None
        transform = _transform(profile, image.mode)
        if image.mode == "RGB" and _changes_nothing(transform):
            return image
        return ImageCms.applyTransform(image, transform)
    except (OSError, ValueError, TypeError, ImageCms.PyCMSError):
        return None


def _without_profile(image: Image.Image) -> Image.Image:
    if image.mode == "LAB":
        profile = ImageCms.ImageCmsProfile(ImageCms.createProfile("LAB"))
        return ImageCms.applyTransform(image, _transform(profile, "LAB")) or image
    return image if image.mode == "RGB" else image.convert("RGB")


def _transform(profile: ImageCms.ImageCmsProfile, mode: str) -> ImageCms.ImageCmsTransform:
    srgb = ImageCms.createProfile("sRGB")
    return ImageCms.buildTransform(
        profile, srgb, mode, "RGB", renderingIntent=ImageCms.Intent.PERCEPTUAL
    )


def _changes_nothing(transform: ImageCms.ImageCmsTransform) -> bool:
    """Return whether no colour of an even sample moves by more than one step: the profile is sRGB.

    Most cameras embed sRGB under one of many names; converting it costs as much as decoding.
    """
    colours = [
        (red, green, blue)
        for red in _PROBE_STEPS
        for green in _PROBE_STEPS
        for blue in _PROBE_STEPS
    ]
    sample = Image.new("RGB", (len(colours), 1))
    sample.putdata(colours)
    changed = ImageCms.applyTransform(sample, transform)
    return changed is not None and max(ImageChops.difference(sample, changed).tobytes()) <= 1
