//! Round things: arcs, range rings, dials.

use crate::render::ink::Ink;
use crate::render::place::LayerMoment;
use crate::render::shape::{self, WHOLE_TURN, bearing, polar};
use crate::render::track::{pixels_at, value_at};
use crate::show::{Arc, Dial, Rings};

/// Bearings closer than this count as equal.
const DEGREES_TOLERANCE: f64 = 1e-6;

/// A part of a circle.
pub fn arc(layer: &Arc, moment: LayerMoment, ink: &mut Ink) {
    let radius = pixels_at(&layer.radius, moment.seconds).max(0);
    let start = value_at(&layer.start_degrees, moment.seconds);
    let extent = value_at(&layer.arc_degrees, moment.seconds);
    let centre = moment.point(&layer.at);
    shape::circle_where(ink, centre, radius, Some(layer.stroke), |x, y| within(start, extent, x, y));
}

/// Whether a pixel lies in an arc, seen from the centre.
fn within(start: f64, extent: f64, x: i32, y: i32) -> bool {
    let ahead = (bearing(x, y) - start + DEGREES_TOLERANCE).rem_euclid(WHOLE_TURN);
    extent > 0.0 && (extent >= WHOLE_TURN || ahead <= extent + 2.0 * DEGREES_TOLERANCE)
}

/// Rings about a centre, with spokes.
pub fn rings(layer: &Rings, moment: LayerMoment, ink: &mut Ink) {
    let (centre, radius) = (moment.point(&layer.at), pixels_at(&layer.radius, moment.seconds).max(0));
    let (count, dots) = (layer.count.max(1).cast_signed(), layer.dots.max(1).cast_signed());
    let kept = |x: i32, y: i32| dots == 1 || (x + y).rem_euclid(dots) == 0;
    for ring in 1..=count {
        let radius = (radius * ring + count / 2) / count;
        shape::circle_where(ink, centre, radius, Some(1), kept);
    }
    for spoke in 0..layer.spokes {
        let degrees = f64::from(spoke) * WHOLE_TURN / f64::from(layer.spokes);
        let mut lines = ink.fresh();
        shape::line(&mut lines, centre, polar(centre, degrees, f64::from(radius)), 1);
        for (x, y) in lines.inside.lit_pixels().filter(|(x, y)| kept(x - centre.0, y - centre.1)) {
            ink.mark(x, y);
        }
    }
}

/// A dial with its scale and needle.
pub fn dial(layer: &Dial, moment: LayerMoment, ink: &mut Ink) {
    let (centre, radius) = (moment.point(&layer.at), pixels_at(&layer.radius, moment.seconds).max(1));
    let (start, extent) = (layer.start_degrees, layer.arc_degrees);
    if layer.rim {
        shape::circle_where(ink, centre, radius, Some(1), |x, y| within(start, extent, x, y));
    }
    // The last mark of a whole turn would fall on the first.
    let steps = if extent >= WHOLE_TURN { layer.ticks } else { layer.ticks.saturating_sub(1) };
    for tick in 0..layer.ticks {
        let degrees = start + extent * f64::from(tick) / f64::from(steps.max(1));
        let inner = f64::from(radius) - f64::from(layer.tick_length) + 1.0;
        let (from, to) = (polar(centre, degrees, inner.max(0.0)), polar(centre, degrees, f64::from(radius)));
        shape::line(ink, from, to, 1);
    }
    let value = value_at(&layer.value, moment.seconds).clamp(0.0, 1.0);
    let tip = polar(centre, start + extent * value, f64::from(radius) * layer.needle);
    shape::line(ink, centre, tip, layer.stroke);
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::render::Bitmap;
    use embedded_graphics::geometry::AngleUnit;
    use embedded_graphics::mock_display::MockDisplay;
    use embedded_graphics::pixelcolor::BinaryColor;
    use embedded_graphics::prelude::*;
    use embedded_graphics::primitives::{Arc as TheirArc, PrimitiveStyle};

    const SIDE: u32 = 48;
    const CENTRE: i32 = 24;

    /// The arc of the embedded-graphics library, a general-purpose drawing library; its angles begin at the right.
    fn theirs(radius: u32, start: f32, extent: f32) -> Bitmap {
        let mut display: MockDisplay<BinaryColor> = MockDisplay::new();
        display.set_allow_overdraw(true);
        let (centre, diameter) = (Point::new(CENTRE, CENTRE), 2 * radius + 1);
        let arc = TheirArc::with_center(centre, diameter, (start - 90.0).deg(), extent.deg());
        arc.into_styled(PrimitiveStyle::with_stroke(BinaryColor::On, 1)).draw(&mut display).expect("in the display");
        let mut picture = Bitmap::new(SIDE, SIDE);
        let side = SIDE.cast_signed();
        for (x, y) in (0..side).flat_map(|y| (0..side).map(move |x| (x, y))) {
            picture.set(x, y, display.get_pixel(Point::new(x, y)) == Some(BinaryColor::On));
        }
        picture
    }

    /// How many pixels of one picture have none of the other beside them.
    fn strays(one: &Bitmap, other: &Bitmap) -> usize {
        let near = |x: i32, y: i32| (-1..=1).any(|down| (-1..=1).any(|right| other.get(x + right, y + down)));
        one.lit_pixels().filter(|(x, y)| !near(*x, *y)).count()
    }

    /// Rasters differ where rounding does, so each pixel must have one of the other's on it or beside it.
    #[test]
    fn arcs_lie_where_an_independent_library_has_them() {
        for (radius, start, extent) in
            [(20, 0.0, 90.0), (20, -135.0, 270.0), (13, 200.0, 45.0), (9, 80.0, 181.0), (22, 10.0, 359.0)]
        {
            let mut ink = Ink::new(SIDE, SIDE);
            let kept = |x, y| within(f64::from(start), f64::from(extent), x, y);
            shape::circle_where(&mut ink, (CENTRE, CENTRE), radius, Some(1), kept);
            let (ours, theirs) = (ink.inside, theirs(radius.unsigned_abs(), start, extent));
            assert!(ours.lit() > 5 && theirs.lit() > 5);
            let found = (strays(&ours, &theirs), strays(&theirs, &ours));
            assert_eq!(found, (0, 0), "radius {radius} from {start} over {extent}:\n{ours}\n{theirs}");
        }
    }
}
