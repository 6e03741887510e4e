//! Pieces of panels between free ends, kinks and other surfaces, and where the
//! edges of their strips lie.

use super::joint::{Crossing, Mitre};
use crate::aircraft::outline::{PanelShape, Station};

/// A free end is drawn in by this share of a strip (Hough 1973).
const TIP_INSET: f64 = 0.25;

/// Edges are drawn on to a joint by no more than this share of the strip beside
/// them, so that it keeps its width and its control points inside.
const DRAW_MAX: f64 = 0.4;

/// A single strip between a joint and a free end is drawn as a whole, by no more
/// than this share of its chord.
const SHEAR_MAX: f64 = 0.1;

/// A line along the chord at which a piece of a panel ends, m from the panel's
/// inner end.
#[derive(Clone, Copy)]
pub(super) struct Cut {
    /// Where the piece ends.
    pub true_m: f64,
    /// Where its last strip ends but for an inset: the two differ at an end
    /// that is laid as far as a joint.
    pub laid_m: f64,
    /// Share of a strip by which a free end is drawn in.
    pub inset: f64,
    pub joint: Option<Joint>,
}

/// The plane that an edge is drawn on to.
#[derive(Clone, Copy)]
pub(super) struct Joint {
    pub mitre: Mitre,
    /// Where the edge's panel meets the plane, m from its inner end.
    pub along_m: f64,
    pub closure: f64,
}

impl Joint {
    /// The joint at a crossing, for the panel that begins `start_m` from the root;
    /// none where the planes are parallel.
    pub fn of(crossing: &Crossing, start_m: f64) -> Option<Self> {
        let Crossing { along_m, closure, mitre } = *crossing;
        mitre.map(|mitre| Self { mitre, along_m: along_m - start_m, closure })
    }
}

impl Cut {
    pub fn at(along_m: f64, joint: Option<Joint>) -> Self {
        Self { true_m: along_m, laid_m: along_m, inset: 0.0, joint }
    }

    /// The surface's root or tip, `along_m` along the panel that begins `start_m`
    /// from the root, free as far as nothing is met there.
    pub fn end(along_m: f64, crossing: Option<Crossing>, start_m: f64) -> Self {
        let free = Self { inset: TIP_INSET, ..Self::at(along_m, None) };
        let Some(crossing) = crossing else { return free };
        let way_m = crossing.along_m - start_m - along_m;
        Self {
            laid_m: along_m + crossing.closure * way_m,
            inset: TIP_INSET * (1.0 - crossing.closure),
            joint: Joint::of(&crossing, start_m),
            ..free
        }
    }
}

/// A stretch of a panel between two cuts.
pub(super) struct Piece<'a> {
    pub shape: &'a PanelShape,
    pub cuts: [Cut; 2],
    pub count: usize,
    pub width_m: f64,
}

impl<'a> Piece<'a> {
    pub fn new(shape: &'a PanelShape, cuts: [Cut; 2], count: usize) -> Self {
        let insets = cuts[0].inset + cuts[1].inset;
        let width_m = (cuts[1].laid_m - cuts[0].laid_m) / (count as f64 + insets);
        Self { shape, cuts, count, width_m }
    }

    pub fn along_m(&self, edge: usize) -> f64 {
        self.cuts[0].laid_m + (self.cuts[0].inset + edge as f64) * self.width_m
    }

    /// By how much a point of an edge, at a share of the chord, is drawn along
    /// the span to a joint, m.
    pub fn drawn_m(&self, edge: usize, chord_fraction: f64) -> f64 {
        let at_end = |end: usize, joint: Joint, most_m: f64| {
            let along_m = self.along_m(end * self.count);
            let point = self.shape.point(&self.station(along_m), chord_fraction);
            let way_m = joint.mitre.way_m(point, &self.shape.span_direction);
            (joint.closure * (way_m - (joint.along_m - along_m))).clamp(-most_m, most_m)
        };
        let end = match edge {
            0 => 0,
            _ if edge == self.count => 1,
            _ => return 0.0,
        };
        let most_m = DRAW_MAX * self.width_m;
        let is_single = self.count == 1;
        match (self.cuts[end].joint, self.cuts[1 - end].joint) {
            (Some(joint), Some(_)) => at_end(end, joint, most_m),
            (Some(joint), None) if !is_single => at_end(end, joint, most_m),
            (Some(joint), None) => at_end(end, joint, self.shear_max_m()),
            (None, Some(joint)) if is_single => at_end(1 - end, joint, self.shear_max_m()),
            (None, _) => 0.0,
        }
    }

    fn shear_max_m(&self) -> f64 {
        SHEAR_MAX * self.station(self.along_m(0)).chord_m
    }

    /// Area of a strip as a share of the panel as it is, however the piece's ends
    /// are laid, m2.
    pub fn true_area_m2(&self, strip: usize) -> f64 {
        let [from_m, to_m] = self.cuts.map(|cut| cut.true_m);
        let width_m = (to_m - from_m) / self.count as f64;
        self.station(from_m + (strip as f64 + 0.5) * width_m).chord_m * width_m
    }

    pub fn station(&self, along_m: f64) -> Station {
        self.shape.station(along_m / self.shape.span_m())
    }
}
