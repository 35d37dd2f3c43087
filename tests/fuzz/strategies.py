"""The writer as Hypothesis strategies: every choice is Hypothesis's own, so that a failing score shrinks to a small one."""

from __future__ import annotations

from hypothesis import strategies as st
from lxml import etree

from tests.fuzz.dress import dressed, packed
from tests.fuzz.pen import Pen
from tests.fuzz.scores import score


@st.composite
def trees(draw: st.DrawFn, parts: int = 1, bars: int = 2, rich: int = 9) -> etree._Element:
    """Valid scores as trees, few and short: Hypothesis makes only so many choices an example."""
    return score(_pen(draw), parts, bars, rich)


@st.composite
def files(draw: st.DrawFn, parts: int = 1, bars: int = 2, rich: int = 9) -> bytes:
    """The same as bytes in any encoding and dress, or as .mxl."""
    pen = _pen(draw)
    data = dressed(score(pen, parts, bars, rich), pen)
    return packed(data, pen) if pen.maybe(15) else data


def _pen(draw: st.DrawFn) -> Pen:
    return Pen(lambda low, high: draw(st.integers(low, high)))
