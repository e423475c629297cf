//! Legibility on a photo: how many pixels of it a pixel of the glass and each text take, by the script's photos or usual ones.

use super::texts::{ShownText, texts};
use super::{Budget, Figure};
use crate::diag::{Finding, Findings};
use crate::show::{Photo, Show};

/// Usual cameras for models (common practice): a normal lens on a sensor of 36 mm, and a telephone's wide one, given as the
/// lens that would see as much on 36 mm.
const USUAL: [(&str, [f64; 4]); 2] = [
    ("50 mm lens, 24 megapixels on 36 mm", [50.0, 36.0, 6000.0, 500.0]),
    ("26 mm lens, 12 megapixels on 36 mm", [26.0, 36.0, 4000.0, 200.0]),
];
/// Pixels of the photo that one of the glass must take to be told from its neighbours: two samples a period would do for a
/// sharp sensor without a colour mosaic (sampling theorem).
const TOLD_APART: f64 = 2.0;
/// Pixels of the photo.
const UNIT: &str = "px";
const FORMULA: &str = "length × focal length / (distance − focal length) / (sensor width / pixels)";
const FURTHEST: &str = "focal length × (1 + pitch / (2 × sensor width / pixels))";
const SOURCE: &str = "thin lens; sampling theorem: two pixels of the photo to one of the glass; the script's `photos`";
const USUAL_SOURCE: &str =
    "thin lens; sampling theorem: two pixels of the photo to one of the glass; lenses are common practice";

/// The glass before the camera: millimetres from pixel to pixel, across and down, and of its whole width.
struct Glass {
    across: f64,
    down: f64,
    width: f64,
}

impl Glass {
    fn of(show: &Show) -> Self {
        let (across, down) = show.mounting().view_pitch_millimetres(show.panel());
        Self { across, down, width: across * f64::from(show.view_size().0) }
    }
    fn pitch(&self) -> f64 {
        self.across.min(self.down)
    }
}

/// Reckons the script's photos with every text, or else usual ones with the smallest; a photo on which pixels run together is
/// a warning.
pub fn photo(show: &Show, findings: &mut Findings) -> Budget {
    let glass = Glass::of(show);
    let texts: Vec<ShownText<'_>> = texts(show).into_iter().filter(|text| text.rows() > 0).collect();
    let mut figures = Vec::new();
    for photo in show.photos() {
        figures.extend(of_glass(&glass, photo, SOURCE));
        figures.extend(texts.iter().map(|text| of_text(&glass, photo, text)));
        report(&glass, photo, &texts, findings);
    }
    if show.photos().is_empty() {
        let smallest = texts.iter().map(ShownText::rows).min();
        for photo in USUAL.map(usual) {
            figures.extend(of_glass(&glass, &photo, USUAL_SOURCE));
            figures.extend(smallest.map(|rows| of_smallest(&glass, &photo, rows)));
        }
    }
    Budget { title: "photo", figures }
}

fn usual((name, [focal_millimetres, sensor_millimetres, pixels, distance_millimetres]): (&str, [f64; 4])) -> Photo {
    let (name, span) = (name.to_owned(), None);
    Photo { name, focal_millimetres, sensor_millimetres, pixels, distance_millimetres, span }
}

fn of_glass(glass: &Glass, photo: &Photo, source: &str) -> [Figure; 2] {
    let place = format!("at {} mm, {}", photo.distance_millimetres, photo.name);
    let pixel = Figure::new(format!("a pixel of the glass {place}"), photo.pixels_of(glass.pitch()), UNIT)
        .from(FORMULA, source);
    let furthest = photo.furthest_millimetres(glass.pitch(), TOLD_APART);
    let furthest = Figure::new("pixels are told apart up to, same", furthest, "mm").from(FURTHEST, source);
    let [pixel, furthest] = [pixel, furthest].map(Figure::rough);
    [if photo.span.is_some() { pixel.headline() } else { pixel }, furthest]
}

fn of_smallest(glass: &Glass, photo: &Photo, rows: u32) -> Figure {
    let name = format!("smallest text at {} mm, same", photo.distance_millimetres);
    Figure::new(name, photo.pixels_of(f64::from(rows) * glass.down), UNIT).from(FORMULA, USUAL_SOURCE).rough()
}

/// A text's height on the photo; it is read from two pixels a row on.
fn of_text(glass: &Glass, photo: &Photo, text: &ShownText<'_>) -> Figure {
    let rows = f64::from(text.rows());
    let name = format!("`{}` of scene {}, {}", text.name, text.scene.name, photo.name);
    let formula = format!("{rows} rows × {:.3} mm; {FORMULA}; read from {} on", glass.down, rows * TOLD_APART);
    Figure::new(name, photo.pixels_of(rows * glass.down), UNIT).from(formula, SOURCE).rough().detail()
}

/// A photo that does not tell the pixels apart, or does not hold the glass.
fn report(glass: &Glass, photo: &Photo, texts: &[ShownText<'_>], findings: &mut Findings) {
    let Some(span) = photo.span else { return };
    let pixel = photo.pixels_of(glass.pitch());
    if pixel < TOLD_APART {
        let message = format!(
            "on this photo a pixel of the glass takes {pixel:.2} pixels: strokes run together, in all of its {} texts",
            texts.len()
        );
        let (nearer, lens) = (
            photo.furthest_millimetres(glass.pitch(), TOLD_APART),
            photo.shortest_lens_millimetres(glass.pitch(), TOLD_APART),
        );
        let finding = Finding::warning(span, message).hint(format!("they are told apart up to {nearer:.0} mm"));
        findings.push(finding.hint(format!("or with a lens of {:.0} mm from here", lens.ceil())));
    }
    if photo.pixels_of(glass.width) > photo.pixels {
        let whole = photo.furthest_millimetres(glass.width, photo.pixels);
        let message = "this photo holds only a part of the glass";
        findings.push(Finding::note(span, message).hint(format!("from {:.0} mm on it holds the whole", whole.ceil())));
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Worked by hand: at 500 mm a lens of 50 mm magnifies 50 / 450 = 1/9; 0.128 mm become 14.2 µm, 2.37 pixels of 6 µm; it
    /// takes two up to 50 × (1 + 0.128 / 0.012) = 583 mm; there a lens of 50 mm is the shortest that does.
    #[test]
    fn a_normal_lens_tells_pixels_of_a_thumbnail_apart_at_half_a_metre() {
        let photo = usual(USUAL[0]);
        assert!((photo.pixels_of(0.128) - 2.370).abs() < 0.001);
        assert!((photo.furthest_millimetres(0.128, TOLD_APART) - 583.3).abs() < 0.1);
        let there = Photo { distance_millimetres: 583.333, ..photo };
        assert!((there.pixels_of(0.128) - TOLD_APART).abs() < 1e-4);
        assert!((there.shortest_lens_millimetres(0.128, TOLD_APART) - 50.0).abs() < 1e-3);
    }
}
