"""Where a strand's numbers come from: the figures of each kind, and of all strands."""

from __future__ import annotations

from collections.abc import Callable
from functools import lru_cache

from ..meaning.values import Origin
from ..plan.computed import computed
from ..plan.model import Figure, Given, StrandKind
from .constants import (
    HAIR_DENSITY_G_CM3,
    HAIR_DENSITY_SOURCE,
    MOST_STITCHES,
    PACKING_PLAITED,
    PACKING_SOURCE,
    PITCH_SOURCE,
    THINNEST_SHARE,
    WIDTH_TOLERANCE,
)
from .strand_models import strand_model
from .strand_work import Job, Worked

_PITCH = Origin(kind="source", where=PITCH_SOURCE)
_PACKING = Origin(kind="source", where=PACKING_SOURCE)
_KERATIN = Origin(kind="source", where=HAIR_DENSITY_SOURCE)
_MOST = Origin(kind="default", where="most stitches planned: our own estimate")
_GRID = Origin(kind="default", where="mean of the sections of this kind")
_TOLERANCE = Origin(kind="default", where="width tolerance: our own estimate")

# What never changes is said once and shared by every figure that leans on it.
_DENSITY = Given(value=HAIR_DENSITY_G_CM3, unit="g/cm3", origin=_KERATIN)
_MOST_STITCHES = Given(value=MOST_STITCHES, unit="stitches", origin=_MOST)
_PACKED = Given(value=PACKING_PLAITED, origin=_PACKING)
_WITHIN = Given(value=WIDTH_TOLERANCE, unit="share", origin=_TOLERANCE)


@lru_cache(maxsize=16)
def _shape(technique: str, tightness: str) -> dict[str, Given]:
    """The model's own numbers, as inputs."""
    model = strand_model(technique, tightness)
    return {
        "pitch": Given(value=model.pitch, unit="part diameters", origin=_PITCH),
        "stitches": Given(value=model.stitches, unit="stitches a period", origin=_PITCH),
        "width_in_parts": Given(value=model.width, unit="part diameters", origin=_PITCH),
    }


@lru_cache(maxsize=256)
def _so_many(strands: int) -> Given:
    return Given(value=strands, unit="strands", origin=_GRID)


def kind_figures(
    number: int, job: Job, worked: Worked, origins: tuple[Origin | None, ...], strand_um: float
) -> list[Figure]:
    """The figures of one kind of strand, which stand for all kinds worked alike (``like``).

    ``origins``: wearing, hair, own length, layers, the house's ratio, start, feed.
    """
    wearing, shaft, own, layers, measured, start, feed = origins
    assert wearing and shaft and own and layers and start
    model = strand_model(job.technique, job.tightness)
    key = f"strands.{number}."
    made = [_ratio(key, job, worked, measured)]

    def words(name: str, label: str, value: float, unit: str, text: str, **inputs: Given | str) -> None:
        made.append(
            computed(Figure, key=key + name, label=label, value=value, unit=unit, how="words", formula=text,
                     inputs=inputs, source=PACKING_SOURCE)
        )

    hairs = Given(value=job.hairs, unit="hairs", origin=_GRID)
    length = Given(value=worked.wearing_mm, unit="mm", origin=wearing)
    diameter = Given(value=strand_um, unit="um", origin=shaft)
    own_mm = Given(value=job.own_mm, unit="mm", origin=own)
    ratio_key = key + "length_ratio"
    made.append(
        computed(
            Figure, key=key + "pitch_mm", label="finished length of one stitch", value=worked.pitch_mm, unit="mm",
            formula="wearing / min(most, max(1, floor(wearing / (pitch / stitches * width / width_in_parts) + 0.5)))",
            inputs={
                "wearing": length,
                **_shape(job.technique, job.tightness),
                "width": Given(value=worked.reference_mm, unit="mm", origin=feed or start),
                "most": _MOST_STITCHES,
            },
            source=PITCH_SOURCE,
        )
    )
    if worked.stitches == worked.count:
        made.append(
            computed(
                Figure, key=key + "stitches", label="stitches", value=worked.stitches, unit="stitches",
                formula="floor(wearing / pitch + 0.5)",
                inputs={
                    "wearing": length,
                    "pitch": key + "pitch_mm",
                },
                source="geometry",
            )
        )
    else:
        words("stitches", "stitches", worked.stitches, "stitches",
              f"the last stitch with at least {THINNEST_SHARE:g} of the thickest cross-section left",
              pitch=key + "pitch_mm", reach=key + "reach_mm")
    made.append(
        computed(
            Figure, key=key + "length_mm", label="finished length", value=worked.length_mm, unit="mm",
            formula="stitches * pitch",
            inputs={"stitches": key + "stitches", "pitch": key + "pitch_mm"}, source="geometry",
        )
    )
    words(
        "width_mm", "mean width", worked.mean_mm, "mm",
        f"mean over the stitches of {model.width:g} x sqrt(4 A / ({model.parts} x pi x packing)), "
        "A = sum of grams a metre over fibre density, own hair and pieces that reach the stitch",
        hairs=hairs,
        strand=diameter,
        packing=_PACKED,
        own=own_mm,
        feed_ins=key + "pieces",
    )
    words("width_min_mm", "thinnest", worked.thinnest_mm, "mm", "least width over the stitches",
          width=key + "width_mm")
    words("width_max_mm", "thickest", worked.thickest_mm, "mm", "greatest width over the stitches",
          width=key + "width_mm")
    words("largest_step_mm", "largest step in width", worked.largest_step_mm, "mm",
          "greatest change of width between one stitch and the next", width=key + "width_mm")
    _pieces(words, worked, hairs, feed or start)
    words("reach_mm", "longest strand this hair can reach", worked.reach_mm, "mm",
          "the farthest end of own hair and of every piece where it is laid in, over the length ratio",
          ratio=ratio_key, own=own_mm, pieces=key + "pieces")
    made.append(
        computed(
            Figure, key=key + "own_g", label="own hair in one strand", value=worked.own_g, unit="g",
            formula="hairs * pi / 4 * strand ** 2 * density * 1e-9 * (own - min(layers, own) / 2)",
            inputs={
                "hairs": hairs,
                "strand": diameter,
                "density": _DENSITY,
                "own": own_mm,
                "layers": Given(value=job.layers_mm, unit="mm", origin=layers),
            },
            source=HAIR_DENSITY_SOURCE,
        )
    )
    return made


def added_figure(number: int, like: int, added_g: float) -> Figure:
    """What hangs on one strand of a kind; its accents and beads are its own."""
    return computed(
        Figure, key=f"strands.{number}.added_g", label="added hair and ornaments on one strand", value=added_g,
        unit="g", how="words",
        formula="pieces fed and accents times the mass of one, plus ornaments, less what is trimmed off",
        inputs={"pieces": f"strands.{like}.pieces"}, source=PACKING_SOURCE,
    )


def _ratio(key: str, job: Job, worked: Worked, measured: Origin | None) -> Figure:
    """How much hair a length of strand takes up: measured, a helix, or a plait's curve."""
    model = strand_model(job.technique, job.tightness)
    pitch = _shape(job.technique, job.tightness)["pitch"]
    name, label = key + "length_ratio", "hair over finished strand"
    if measured is not None:
        given = Given(value=worked.length_ratio, origin=measured)
        return computed(Figure, key=name, label=label, value=worked.length_ratio, formula="measured",
                        inputs={"measured": given}, source="the house's own measure")
    if model.parts == 2:
        return computed(Figure, key=name, label=label, value=worked.length_ratio,
                        formula="sqrt(1 + (pi / pitch) ** 2)", inputs={"pitch": pitch}, source=PITCH_SOURCE)
    return computed(
        Figure, key=name, label=label, value=worked.length_ratio, how="words",
        formula="arc length over advance of (d sin t, d/2 sin 2t, pitch d t / 2 pi) over one period",
        inputs={"pitch": pitch}, source=PITCH_SOURCE,
    )


def _pieces(
    words: Callable[..., None], worked: Worked, hairs: Given, origin: Origin
) -> None:
    """Pieces fed into one strand: counted where written, the solver's fewest where wished."""
    total = sum(fed.times * fed.lot.count * fed.lot.part for fed in worked.fed)
    if worked.target_mm is None:
        words("pieces", "pieces fed into one strand", total, "pieces",
              "counted over the schedule as written", hairs=hairs)
        return
    words(
        "pieces", "pieces fed into one strand", total, "pieces",
        "the fewest pieces (a half counts half) that bring the strand to the width asked for "
        "and keep it within the tolerance",
        hairs=hairs,
        target=Given(value=worked.target_mm, unit="mm", origin=origin),
        tolerance=_WITHIN,
    )


def total_figures(kinds: tuple[StrandKind, ...], strands: int) -> tuple[Figure, ...]:
    """Figures of all strands together."""
    inputs: dict[str, Given | str] = {
        f"stitches_{kind.id}": f"strands.{kind.like or kind.id}.stitches" for kind in kinds
    }
    counts = {f"strands_{kind.id}": _so_many(len(kind.sections)) for kind in kinds}
    formula = " + ".join(f"strands_{kind.id} * stitches_{kind.id}" for kind in kinds) or "0"
    return (
        computed(Figure, key="strands.count", label="strands", value=strands, unit="strands",
                 formula=" + ".join(counts) or "0", inputs=dict(counts), source="counted"),
        computed(Figure, key="strands.stitches_total", label="stitches on the head",
                 value=sum(len(kind.sections) * kind.stitches for kind in kinds), unit="stitches",
                 formula=formula, inputs={**counts, **inputs}, source="counted"),
    )
