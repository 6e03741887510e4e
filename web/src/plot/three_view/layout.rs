//! Where the three views lie on the paper.

use super::shapes::Shape;

/// A point in body axes from the datum, m.
pub type Point3 = [f64; 3];

/// Which side of the aeroplane is seen.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Side {
    /// From above, nose up.
    Above,
    /// From the left, nose to the left.
    Left,
    /// From the front.
    Front,
}

/// One view placed on the paper.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct View {
    pub(super) side: Side,
    /// Where the datum comes to lie, px.
    pub(super) datum: (f64, f64),
    /// Pixels per metre.
    pub(super) scale: f64,
}

impl View {
    /// Pixels per metre.
    pub fn scale(&self) -> f64 {
        self.scale
    }

    /// Where a point comes to lie on the paper, px.
    pub fn place(&self, point: Point3) -> (f64, f64) {
        let (right, down) = on_paper(self.side, point);
        (self.datum.0 + right * self.scale, self.datum.1 + down * self.scale)
    }
}

fn on_paper(side: Side, [x, y, z]: Point3) -> (f64, f64) {
    match side {
        Side::Above => (y, -x),
        Side::Left => (-x, z),
        Side::Front => (-y, z),
    }
}

/// Left, top, right and bottom of everything on one view, m from the datum.
#[derive(Debug, Clone, Copy)]
pub struct Bounds {
    pub left: f64,
    pub top: f64,
    pub right: f64,
    pub bottom: f64,
}

impl Bounds {
    pub fn width(&self) -> f64 {
        self.right - self.left
    }

    pub fn height(&self) -> f64 {
        self.bottom - self.top
    }
}

/// What all shapes take up of one view.
pub fn bounds(side: Side, shapes: &[Shape]) -> Bounds {
    let nothing = Bounds { left: 0.0, top: 0.0, right: 0.0, bottom: 0.0 };
    let seen = shapes.iter().filter(|shape| shape.only.is_none_or(|only| only == side));
    let points = seen.flat_map(|shape| &shape.points);
    points.fold(nothing, |b, point| {
        let (x, y) = on_paper(side, *point);
        Bounds {
            left: b.left.min(x),
            top: b.top.min(y),
            right: b.right.max(x),
            bottom: b.bottom.max(y),
        }
    })
}

/// What a view takes up of the paper: left, top, width, height, px.
pub fn frame(view: &View, bounds: &Bounds) -> (f64, f64, f64, f64) {
    let (x, y) = view.datum;
    (
        x + bounds.left * view.scale,
        y + bounds.top * view.scale,
        bounds.width() * view.scale,
        bounds.height() * view.scale,
    )
}

/// Paper narrower than this has the views one below the other, px.
const NARROW_PX: f64 = 620.0;
/// Room around and between the views, px.
const MARGIN_PX: f64 = 16.0;
/// Room below a view for its dimension and its name, px.
const FOOT_PX: f64 = 58.0;
/// Tallest view from above on wide paper, px.
const HEIGHT_MAX_PX: f64 = 460.0;

/// Places the three views; returns them with the height of the paper, px.
pub fn lay_out([above, left, front]: &[Bounds; 3], width: f64) -> ([View; 3], f64) {
    let place = |side, bounds: &Bounds, scale: f64, x: f64, y: f64| View {
        side,
        datum: (x - bounds.left * scale, y - bounds.top * scale),
        scale,
    };
    // Centred in a column that starts at `x` and is `room` wide.
    let centred = |side, bounds: &Bounds, scale: f64, x: f64, room: f64, y: f64| {
        place(side, bounds, scale, x + (room - bounds.width() * scale) / 2.0, y)
    };
    let smallest = 1e-3; // an aeroplane has some size
    if width < NARROW_PX {
        let room = width - 2.0 * MARGIN_PX;
        let scale = room / above.width().max(left.width()).max(front.width()).max(smallest);
        let mut y = MARGIN_PX;
        let views = [(Side::Above, above), (Side::Left, left), (Side::Front, front)].map(
            |(side, bounds)| {
                let view = centred(side, bounds, scale, MARGIN_PX, room, y);
                y += bounds.height() * scale + FOOT_PX;
                view
            },
        );
        return (views, y);
    }
    let second = left.width().max(front.width());
    let room = width - 4.0 * MARGIN_PX;
    let tallest = above.height().max(left.height() + front.height());
    let scale =
        (room / (above.width() + second).max(smallest)).min(HEIGHT_MAX_PX / tallest.max(smallest));
    // What is left over of the width goes between and beside the columns.
    let spare = (room - (above.width() + second) * scale) / 3.0;
    let first_x = MARGIN_PX + spare;
    let second_x = first_x + above.width() * scale + 2.0 * MARGIN_PX + spare;
    let stacked = (left.height() + front.height()) * scale + FOOT_PX;
    let tall = (above.height() * scale).max(stacked);
    let top = MARGIN_PX + (tall - above.height() * scale) / 2.0;
    let side_top = MARGIN_PX + (tall - stacked) / 2.0;
    let front_top = side_top + left.height() * scale + FOOT_PX;
    let views = [
        place(Side::Above, above, scale, first_x, top),
        centred(Side::Left, left, scale, second_x, second * scale, side_top),
        centred(Side::Front, front, scale, second_x, second * scale, front_top),
    ];
    (views, MARGIN_PX + tall + FOOT_PX)
}
