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

#[cfg(test)]
mod tests {
    use nalgebra::Vector3;

    use super::*;

    /// Half a metre along the span at an incidence, of a chord of 0.2 m.
    const INCIDENCE_RAD: f64 = 0.2;

    fn shape() -> PanelShape {
        let station = |y| Station {
            leading_edge: Vector3::new(0.0, y, 0.0),
            chord_m: 0.2,
            incidence_rad: INCIDENCE_RAD,
        };
        PanelShape { inner: station(0.0), outer: station(0.5), span_direction: Vector3::y() }
    }

    /// A plane through the panel's leading edge `along_m` from its inner end that
    /// leans outwards below by half a right angle.
    fn crossing(shape: &PanelShape, along_m: f64, closure: f64) -> Crossing {
        let leaning = Vector3::new(0.0, 1.0, -1.0);
        let across = PanelShape {
            inner: Station { leading_edge: Vector3::new(0.0, along_m, 0.0), ..shape.inner },
            outer: Station { leading_edge: Vector3::new(0.0, along_m, 0.0), ..shape.inner },
            span_direction: leaning.normalize(),
        };
        let mirror = PanelShape { span_direction: leaning.normalize(), ..across };
        Crossing { along_m, closure, mitre: Mitre::between(&across, &mirror) }
    }

    /// An end that is half closed is laid half of the way and drawn in by half of a
    /// free end's quarter.
    #[test]
    fn an_end_is_laid_as_far_as_its_joint_is_closed() {
        let shape = shape();
        let free = Cut::end(0.5, None, 0.3);
        assert_eq!((free.true_m, free.laid_m, free.inset), (0.5, 0.5, 0.25));
        assert!(free.joint.is_none());
        let end = Cut::end(0.5, Some(crossing(&shape, 0.84, 0.5)), 0.3);
        assert!((end.laid_m - 0.52).abs() < 1e-12 && end.true_m == 0.5 && end.inset == 0.125);
        let joint = end.joint.unwrap();
        assert!((joint.along_m - 0.54).abs() < 1e-12 && joint.closure == 0.5);
    }

    /// Two cuts, five strips: all share in the way to a joint and in the insets; areas
    /// are those of the panel as it is.
    #[test]
    fn strips_share_the_way_to_a_joint() {
        let shape = shape();
        let end = Cut::end(0.5, Some(crossing(&shape, 0.54, 0.5)), 0.0);
        let piece = Piece::new(&shape, [Cut::end(0.0, None, 0.0), end], 5);
        let width_m = 0.52 / 5.375;
        assert!((piece.width_m - width_m).abs() < 1e-12);
        for k in 0..=5 {
            assert!((piece.along_m(k) - (k as f64 + 0.25) * width_m).abs() < 1e-12);
        }
        assert!((piece.true_area_m2(3) - 0.02).abs() < 1e-12);
        // The outer half alone, of a panel that narrows from 0.2 m to a half of it.
        let mut narrowing = shape;
        narrowing.outer.chord_m = 0.1;
        let outer = Piece::new(&narrowing, [Cut::at(0.25, None), Cut::at(0.5, None)], 2);
        assert!((outer.width_m - 0.125).abs() < 1e-12);
        assert!((outer.true_area_m2(0) - 0.1375 * 0.125).abs() < 1e-12);
        assert!((outer.true_area_m2(1) - 0.1125 * 0.125).abs() < 1e-12);
    }

    /// The plane leans outwards below, and the chord's rear is low: there the way to the
    /// plane is longer by as much. Edges between are not drawn; a lone strip is as a
    /// whole, by less; and none by more than would turn it over.
    #[test]
    fn edges_are_drawn_on_to_a_leaning_plane() {
        let shape = shape();
        let free = Cut::at(0.0, None);
        let piece = |count: usize, closure: f64, cuts: fn(Cut, Cut) -> [Cut; 2]| {
            let joined = Cut::at(0.5, Joint::of(&crossing(&shape, 0.5, closure), 0.0));
            Piece::new(&shape, cuts(free, joined), count)
        };
        let last = |free, joined| [free, joined];
        let low = |fraction: f64| 0.2 * fraction * INCIDENCE_RAD.sin();
        for closure in [1.0, 0.5] {
            let five = piece(5, closure, last);
            for fraction in [0.0, 0.25, 1.0] {
                let drawn = five.drawn_m(5, fraction);
                assert!((drawn - closure * low(fraction)).abs() < 1e-12, "{fraction}: {drawn}");
                assert!((0..5).all(|edge| five.drawn_m(edge, fraction) == 0.0));
            }
        }
        // Of a strip of 0.5 / 40 m no more than 0.4.
        assert!((piece(40, 1.0, last).drawn_m(40, 1.0) - 0.005).abs() < 1e-12);
        // Nor the other way, where the rear is high.
        let mut rising = shape;
        rising.inner.incidence_rad = -INCIDENCE_RAD;
        rising.outer.incidence_rad = -INCIDENCE_RAD;
        let joined = Cut::at(0.5, Joint::of(&crossing(&shape, 0.5, 1.0), 0.0));
        let many = Piece::new(&rising, [free, joined], 40);
        assert!((many.drawn_m(40, 1.0) + 0.005).abs() < 1e-12);
        // A lone strip between a free end and a joint: a tenth of the chord at most.
        let one = piece(1, 1.0, last);
        assert!((one.drawn_m(1, 0.25) - low(0.25)).abs() < 1e-12);
        assert_eq!(one.drawn_m(0, 0.25), one.drawn_m(1, 0.25));
        assert!((one.drawn_m(1, 1.0) - 0.02).abs() < 1e-12);
        // Between two joints each end has its own.
        let joint = Joint::of(&crossing(&shape, 0.5, 1.0), 0.0);
        let both = Piece::new(&shape, [Cut::at(0.0, joint), Cut::at(0.5, joint)], 1);
        assert!((both.drawn_m(0, 1.0) - low(1.0)).abs() < 1e-12);
        assert!((both.drawn_m(1, 1.0) - low(1.0)).abs() < 1e-12);
    }
}
