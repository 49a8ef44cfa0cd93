"""Variants of the gas side that somebody tried and kept under a name, to be compared with the engine as it is."""

from collections.abc import Mapping

from tenths.errors import BadInput
from tenths.logbook import bodies
from tenths.logbook.build import Build
from tenths.logbook.entry import Entry
from tenths.services.amounts import Answer
from tenths.services.shop import Shop


def variants_of(build: Build) -> list[Answer]:
    """The variants kept: name, words, sizes as typed."""
    return [{"variant": kept.variant, "words": kept.words, "sizes": dict(kept.sizes)} for kept in build.variants.values()]


def sizes_kept(build: Build, variant: str) -> dict[str, str]:
    """The sizes of a variant, as typed; nothing for no name.

    Raises:
        BadInput: when none is kept under that name.
    """
    if not variant:
        return {}
    if variant not in build.variants:
        raise BadInput(f"variant: {variant!r} is not kept; there are {', '.join(build.variants) or 'none yet'}")
    return dict(build.variants[variant].sizes)


def keep_variant(shop: Shop, engine: str, variant: str, sizes: Mapping[str, str], words: str = "") -> Entry:
    """Keeps sizes that were tried under a name.

    Raises:
        BadInput: without a name or sizes, or for a size that is none, or not of its kind.
    """
    from tenths.services.pull_sizes import sizes_of  # noqa: PLC0415 - it takes a compiler in
    from tenths.services.running_model import running_model  # noqa: PLC0415 - the same

    if not sizes:
        raise BadInput("sizes: a variant needs one size at least that differs, such as runner-length=300mm")
    sizes_of(running_model(shop, engine).needed(), sizes)
    return shop.append(engine, bodies.VariantKept(variant=variant.strip(), sizes=dict(sizes), words=words.strip()))[0]


def forget_variant(shop: Shop, engine: str, variant: str) -> Entry:
    """Takes a variant away; what was kept stays in the log.

    Raises:
        BadInput: when none is kept under that name.
    """
    sizes_kept(shop.build(engine), variant)
    return shop.append(engine, bodies.VariantKept(variant=variant, sizes={}))[0]
