//! Legibility on a photo: how many pixels of it a pixel of the display and each text take, by the script's photos or usual ones.

use super::texts::{ShownText, texts};
use super::{Budget, Figure};
use crate::diag::{Finding, Findings, number, number_of};
use crate::show::{Photo, Show};

/// Usual cameras for models (common practice): a normal lens on a sensor of 36 mm, and a telephone's wide one, given as the
/// lens that would see as much on 36 mm.
const USUAL: [(&str, [f64; 4]); 2] = [
    ("50 mm lens, 24 megapixels on 36 mm", [50.0, 36.0, 6000.0, 500.0]),
    ("26 mm lens, 12 megapixels on 36 mm", [26.0, 36.0, 4000.0, 200.0]),
];
/// Pixels of the photo that one display pixel must cover to be separated from its neighbours: two samples a period would do for a
/// sharp sensor without a colour mosaic (sampling theorem).
const TOLD_APART: f64 = 2.0;
/// Pixels of the photo.
const UNIT: &str = "px";
const FORMULA: &str = "length × focal length / (distance − focal length) / (sensor width / pixels)";
const FURTHEST: &str = "focal length × (1 + pitch / (2 × sensor width / pixels))";
const SOURCE: &str =
    "thin lens formula; sampling theorem: two pixels of the photo for each pixel of the display; the script's `photos`";
const USUAL_SOURCE: &str = "thin lens formula; sampling theorem: two pixels of the photo for each pixel of the display; lenses are common practice";

/// The display before the camera: millimetres from pixel to pixel, across and down, and of its whole width.
struct DisplayPitch {
    across: f64,
    down: f64,
    width: f64,
}

impl DisplayPitch {
    fn of(show: &Show) -> Self {
        let (across, down) = show.mounting().view_pitch_millimetres(show.panel());
        Self { across, down, width: across * f64::from(show.view_size().0) }
    }
    fn pitch(&self) -> f64 {
        self.across.min(self.down)
    }
}

/// Judges the photos of the script with every text, or common cameras with the smallest text; a photo in which pixels blur together is
/// a warning.
pub fn photo(show: &Show, findings: &mut Findings) -> Budget {
    let display = DisplayPitch::of(show);
    let texts: Vec<ShownText<'_>> = texts(show).into_iter().filter(|text| text.rows() > 0).collect();
    let mut figures = Vec::new();
    for photo in show.photos() {
        figures.extend(of_display(&display, photo, SOURCE));
        figures.extend(texts.iter().map(|text| of_text(&display, photo, text)));
        report(&display, photo, &texts, findings);
    }
    if show.photos().is_empty() {
        let smallest = texts.iter().map(ShownText::rows).min();
        for photo in USUAL.map(usual) {
            figures.extend(of_display(&display, &photo, USUAL_SOURCE));
            figures.extend(smallest.map(|rows| of_smallest(&display, &photo, rows)));
        }
    }
    Budget { title: "photo", figures }
}

fn usual((name, [focal_millimetres, sensor_millimetres, pixels, distance_millimetres]): (&str, [f64; 4])) -> Photo {
    let (name, span) = (name.to_owned(), None);
    Photo { name, focal_millimetres, sensor_millimetres, pixels, distance_millimetres, span }
}

fn of_display(display: &DisplayPitch, photo: &Photo, source: &str) -> [Figure; 2] {
    let place = format!("at {} mm, {}", photo.distance_millimetres, photo.name);
    let pixel = Figure::new(format!("size of a display pixel {place}"), photo.pixels_of(display.pitch()), UNIT)
        .from(FORMULA, source);
    let furthest = photo.furthest_millimetres(display.pitch(), TOLD_APART);
    let furthest = Figure::new("pixels can be separated up to, same", furthest, "mm").from(FURTHEST, source);
    let [pixel, furthest] = [pixel, furthest].map(Figure::rough);
    [if photo.span.is_some() { pixel.headline() } else { pixel }, furthest]
}

fn of_smallest(display: &DisplayPitch, photo: &Photo, rows: u32) -> Figure {
    let name = format!("smallest text at {} mm, same", photo.distance_millimetres);
    Figure::new(name, photo.pixels_of(f64::from(rows) * display.down), UNIT).from(FORMULA, USUAL_SOURCE).rough()
}

/// A text's height on the photo; it is read from two pixels a row on.
fn of_text(display: &DisplayPitch, photo: &Photo, text: &ShownText<'_>) -> Figure {
    let rows = f64::from(text.rows());
    let name = format!("`{}` of scene {}, {}", text.name, text.scene.name, photo.name);
    let formula = format!("{rows} rows × {} mm; {FORMULA}; read from {} on", number(display.down), rows * TOLD_APART);
    Figure::new(name, photo.pixels_of(rows * display.down), UNIT).from(formula, SOURCE).rough().detail()
}

/// A photo that does not tell the pixels apart, or does not hold the display.
fn report(display: &DisplayPitch, photo: &Photo, texts: &[ShownText<'_>], findings: &mut Findings) {
    let Some(span) = photo.span else { return };
    let pixel = photo.pixels_of(display.pitch());
    if pixel < TOLD_APART {
        let message = format!(
            "in this photo one display pixel covers only {} photo pixels: strokes blur together in all {}",
            number(pixel),
            number_of(texts.len(), "text")
        );
        let (nearer, lens) = (
            photo.furthest_millimetres(display.pitch(), TOLD_APART),
            photo.shortest_lens_millimetres(display.pitch(), TOLD_APART),
        );
        let finding =
            Finding::warning(span, message).hint(format!("move the camera to {} mm or closer", number(nearer.floor())));
        findings.push(finding.hint(format!("or use a lens of {} mm from here", number(lens.ceil()))));
    }
    if photo.pixels_of(display.width) > photo.pixels {
        let whole = photo.furthest_millimetres(display.width, photo.pixels);
        let message = "this photo shows only a part of the display";
        findings.push(
            Finding::note(span, message)
                .hint(format!("from {} mm on, it shows all of the display", number(whole.ceil()))),
        );
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
