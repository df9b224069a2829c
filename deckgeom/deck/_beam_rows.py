"""
Rows of the tables of a set of beams, as they stand in files.
"""

from __future__ import annotations

import numpy as np

from deckgeom.deck._beam_words import mould_face


def _listed(*arrays) -> zip:
    """Arrays as columns of plain Python numbers."""
    return zip(*(a.tolist() if isinstance(a, np.ndarray) else a for a in arrays), strict=True)


def _blank(array: np.ndarray) -> list:
    """Plain numbers with None where there is no figure."""
    return [None if v != v else v for v in array.tolist()]


def beams_rows(beams) -> list[tuple]:
    """One row a beam."""
    jig = [None] * len(beams) if beams.jig_camber is None else beams.jig_camber
    b, h = beams.half_breadth, beams.edge_height
    return list(
        _listed(
            beams.names, beams.x, b[:, 0], b[:, 1], beams.camber, beams.crown_height, h[:, 0], h[:, 1],
            beams.edge_slope_deg, jig, [mould_face(beam) for beam in beams], beams.stock_depth, beams.grain_slope,
            _blank(beams.strength_left), [mark.rake_deg for mark in beams.marks],
        )
    )  # fmt: skip


def ordinates_rows(beams) -> list[tuple]:
    """Forward face, after face and mould of each beam; each face only as far as it goes."""
    t = beams.ordinates
    n = len(t)
    beam, y = np.tile(t.beam_index, 3), np.tile(t.y, 3)
    face = np.repeat([0, 1, 2], n)
    height = np.concatenate([t.height[:, 0], t.height[:, 1], t.mould_height])
    drop = np.concatenate([t.drop[:, 0], t.drop[:, 1], t.mould_drop])
    real = np.concatenate([t.on_face[:, 0], t.on_face[:, 1], np.ones(n, bool)])
    order = np.lexsort((y, face, beam))
    order = order[real[order]]
    names = np.array(beams.names, object)[beam[order]]
    words = np.array(["forward", "after", "mould"], object)[face[order]]
    return list(_listed(names, words, y[order], height[order], drop[order]))


def bevels_rows(beams) -> list[tuple]:
    """Where both faces reach."""
    t = beams.ordinates
    on = t.on_both
    names = np.array(beams.names, object)[t.beam_index[on]]
    return list(_listed(names, t.y[on], t.bevel_deg[on], t.rise_over_siding[on], t.high_edge[on]))


def ends_rows(beams) -> list[tuple]:
    """Lengths from the centreline at the top and the bottom of each face, and the angles of each end."""
    rows = []
    for beam in beams:
        for side in ("port", "starboard"):
            for face in ("forward", "after"):
                end = beam.end(side, face)
                rows.append((beam.name, side, face, end.top, end.bottom, end.end_angle_deg, end.cut_deg))
    return rows


def jigs_rows(beams) -> list[tuple]:
    """Each jig from the straight line joining its ends: the mould's offsets with spring-back allowed for, once."""
    if beams.spring is None:
        return []
    return [(name, along, offset * beams.spring.factor) for name, along, offset in spiles_rows(beams)]


def spiles_rows(beams) -> list[tuple]:
    """Each mould from the straight line joining its ends, port end first."""
    t = beams.ordinates
    return list(_listed(np.array(beams.names, object)[t.beam_index], t.along, t.offset))
