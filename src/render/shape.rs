//! Lines, rectangles and circles in whole pixels.

use super::ink::{Area, Ink};
use crate::whole::rounded;
use std::sync::LazyLock;

/// A straight line from pixel to pixel, both drawn, by Bresenham's integer method (IBM Systems Journal 4-1, 1965); a wider
/// stroke is a square pen `stroke` pixels wide.
pub fn line(ink: &mut Ink, from: (i32, i32), to: (i32, i32), stroke: u32) {
    let (width, height) = ((to.0 - from.0).abs(), (to.1 - from.1).abs());
    let (step_x, step_y) = ((to.0 - from.0).signum(), (to.1 - from.1).signum());
    let (mut x, mut y) = from;
    let mut error = width - height;
    loop {
        pen(ink, x, y, stroke.cast_signed());
        if (x, y) == to {
            return;
        }
        let doubled = 2 * error;
        if doubled > -height {
            error -= height;
            x += step_x;
        }
        if doubled < width {
            error += width;
            y += step_y;
        }
    }
}

fn pen(ink: &mut Ink, x: i32, y: i32, stroke: i32) {
    if stroke == 1 {
        return ink.mark(x, y);
    }
    let back = (stroke - 1) / 2;
    fill(ink, Area { left: x - back, top: y - back, width: stroke, height: stroke });
}

/// A filled rectangle.
pub fn fill(ink: &mut Ink, area: Area) {
    ink.mark_area(area);
}

/// The outline of a rectangle, `stroke` pixels wide inside its edge.
pub fn outline(ink: &mut Ink, area: Area, stroke: u32) {
    let hole = area.shrunk(stroke.cast_signed());
    for y in area.top..area.top + area.height.max(0) {
        for x in area.left..area.left + area.width.max(0) {
            if !hole.has(x, y) {
                ink.mark(x, y);
            }
        }
    }
}

/// A circle about a pixel: filled, or an outline `stroke` pixels wide inside its radius.
///
/// A row's half width is that of the midpoint method (J. E. Bresenham, CACM 20-2, 1977; common practice): the largest x
/// whose midpoint towards the outside still lies in the circle, x² − x + y² ≤ r².
pub fn circle(ink: &mut Ink, centre: (i32, i32), radius: i32, fill: bool, stroke: u32) {
    circle_where(ink, centre, radius, if fill { None } else { Some(stroke) }, |_, _| true);
}

/// The pixels of a disc, or of a ring `stroke` pixels wide, for which `keep` says so by their place from the centre.
pub fn circle_where(
    ink: &mut Ink,
    centre: (i32, i32),
    radius: i32,
    stroke: Option<u32>,
    keep: impl Fn(i32, i32) -> bool,
) {
    let (fill, stroke) = (stroke.is_none(), stroke.unwrap_or(1));
    let hole = radius - stroke.cast_signed();
    for y in -radius..=radius {
        let Some(outer) = half_width(radius, y) else { continue };
        let inner = if fill { None } else { half_width(hole, y) };
        for x in -outer..=outer {
            let in_hole = inner.is_some_and(|inner| x.abs() <= inner);
            let on_ring = if stroke == 1 && !fill { on_outline(radius, x, y) } else { !in_hole };
            if on_ring && keep(x, y) {
                ink.mark(centre.0 + x, centre.1 + y);
            }
        }
    }
}

/// Whether a pixel so far from the centre lies in the disc that [`circle`] fills.
pub fn in_circle(radius: i32, x: i32, y: i32) -> bool {
    x.abs() <= radius && y.abs() <= radius && inside(radius, x, y)
}

/// How far from the centre bearings are kept, in pixels: as far as the largest display reaches from its middle.
const KEPT: i32 = 66;

/// Bearings of the pixels about the centre, row by row.
static BEARINGS: LazyLock<Vec<f64>> = LazyLock::new(|| {
    let places = (-KEPT..=KEPT).flat_map(|y| (-KEPT..=KEPT).map(move |x| (x, y)));
    places.map(|(x, y)| computed_bearing(x, y)).collect()
});

/// Degrees clockwise from the top of a pixel seen from the centre, 0 up to 360.
pub fn bearing(x: i32, y: i32) -> f64 {
    let (column, row) = (x.saturating_add(KEPT), y.saturating_add(KEPT));
    let kept = 0..=2 * KEPT;
    if kept.contains(&column) && kept.contains(&row) {
        return BEARINGS[(row * (2 * KEPT + 1) + column).cast_unsigned() as usize];
    }
    computed_bearing(x, y)
}

fn computed_bearing(x: i32, y: i32) -> f64 {
    libm::atan2(f64::from(x), f64::from(-y)).to_degrees().rem_euclid(WHOLE_TURN)
}

/// The pixel at a bearing and a distance from the centre.
pub fn polar(centre: (i32, i32), degrees: f64, distance: f64) -> (i32, i32) {
    let angle = degrees.to_radians();
    let (x, y) = (libm::sin(angle) * distance, -libm::cos(angle) * distance);
    (centre.0 + rounded::<i32>(x), centre.1 + rounded::<i32>(y))
}

/// Degrees of a whole turn.
pub const WHOLE_TURN: f64 = 360.0;

fn half_width(radius: i32, y: i32) -> Option<i32> {
    (0..=radius).rev().find(|x| inside(radius, *x, y))
}

fn inside(radius: i32, x: i32, y: i32) -> bool {
    let (x, y) = (i64::from(x.abs()), i64::from(y.abs()));
    let (long, short, radius) = (x.max(y), x.min(y), i64::from(radius));
    long * long - long + short * short < radius * radius || (short == 0 && long == radius) || radius == 0 && long == 0
}

/// Whether the pixel is the outermost of its row or column in the octant's main direction.
fn on_outline(radius: i32, x: i32, y: i32) -> bool {
    let (long, short) = (x.abs().max(y.abs()), x.abs().min(y.abs()));
    !inside(radius, long + 1, short)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::render::Bitmap;
    use embedded_graphics::mock_display::MockDisplay;
    use embedded_graphics::pixelcolor::BinaryColor;
    use embedded_graphics::prelude::*;
    use embedded_graphics::primitives::{Line, PrimitiveStyle};

    fn drawn(size: u32, draw: impl Fn(&mut Ink)) -> Bitmap {
        let mut ink = Ink::new(size, size);
        draw(&mut ink);
        ink.inside
    }

    /// The lines of the embedded-graphics library, a general-purpose drawing library from the package registry.
    #[test]
    fn lines_are_those_of_an_independent_library() {
        for (end_x, end_y) in [(15, 15), (15, 4), (3, 15), (15, 0), (0, 15), (14, 9), (6, 5)] {
            let mut display: MockDisplay<BinaryColor> = MockDisplay::new();
            let style = PrimitiveStyle::with_stroke(BinaryColor::On, 1);
            Line::new(Point::zero(), Point::new(end_x, end_y))
                .into_styled(style)
                .draw(&mut display)
                .expect("in the display");
            let ours = drawn(16, |ink| line(ink, (0, 0), (end_x, end_y), 1));
            for (x, y) in (0..16).flat_map(|y| (0..16).map(move |x| (x, y))) {
                let theirs = display.get_pixel(Point::new(x, y)) == Some(BinaryColor::On);
                assert_eq!(ours.get(x, y), theirs, "to {end_x},{end_y} at {x},{y}:\n{ours}");
            }
        }
    }

    /// The worked examples of D. Hearn, M. P. Baker, "Computer Graphics", chapter 3: the line from (20, 10) to (30, 18) and the
    /// circle of radius 10, whose octant they list (from memory).
    #[test]
    fn a_line_and_a_circle_are_those_of_a_text_book() {
        let ours = drawn(32, |ink| line(ink, (20, 10), (30, 18), 1));
        let book = [
            (20, 10),
            (21, 11),
            (22, 12),
            (23, 12),
            (24, 13),
            (25, 14),
            (26, 15),
            (27, 16),
            (28, 16),
            (29, 17),
            (30, 18),
        ];
        assert_eq!(ours.lit_pixels().collect::<Vec<_>>(), book);
        let octant = [(0, 10), (1, 10), (2, 10), (3, 10), (4, 9), (5, 9), (6, 8), (7, 7)];
        let mut circle_of_book = Ink::new(32, 32);
        for (x, y) in octant {
            for (x, y) in [(x, y), (y, x)] {
                for (x, y) in [(x, y), (-x, y), (x, -y), (-x, -y)] {
                    circle_of_book.mark(16 + x, 16 + y);
                }
            }
        }
        let ours = drawn(32, |ink| circle(ink, (16, 16), 10, false, 1));
        assert_eq!(ours.to_string(), circle_of_book.inside.to_string());
    }

    #[test]
    fn circles_are_round() {
        let expected = "\
            ..###..\n\
            .#...#.\n\
            #.....#\n\
            #.....#\n\
            #.....#\n\
            .#...#.\n\
            ..###..\n";
        assert_eq!(drawn(7, |ink| circle(ink, (3, 3), 3, false, 1)).to_string(), expected);
        for radius in 1..20 {
            let full = drawn(41, |ink| circle(ink, (20, 20), radius, true, 1));
            let ring = drawn(41, |ink| circle(ink, (20, 20), radius, false, 1));
            for (x, y) in ring.lit_pixels() {
                let off = f64::from((x - 20) * (x - 20) + (y - 20) * (y - 20)).sqrt() - f64::from(radius);
                assert!(off.abs() < 0.75, "radius {radius} at {x},{y} is {off} off:\n{ring}");
                assert!(ring.get(40 - x, y) && ring.get(x, 40 - y) && ring.get(y, x) && full.get(x, y));
            }
        }
    }

    #[test]
    fn bearings_that_are_kept_are_those_that_are_computed() {
        for (x, y) in (-70..=70).flat_map(|y| (-70..=70).map(move |x| (x, y))) {
            assert_eq!(bearing(x, y), computed_bearing(x, y), "{x},{y}");
        }
        assert_eq!(bearing(i32::MAX, 0), 90.0);
    }

    #[test]
    fn an_outline_runs_inside_its_rectangle() {
        let picture = drawn(5, |ink| outline(ink, Area { left: 0, top: 1, width: 5, height: 4 }, 1));
        assert_eq!(picture.to_string(), ".....\n#####\n#...#\n#...#\n#####\n");
        let mut ink = Ink::new(2, 2);
        fill(&mut ink, Area { left: 1, top: 1, width: 2, height: 1 });
        assert_eq!((ink.inside.lit(), ink.outside), (1, 1));
    }
}
