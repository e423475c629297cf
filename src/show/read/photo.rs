//! Reading the photos: `photos: [Photo(lens_millimetres: 50, sensor_millimetres: 36, pixels: 6000, distance_millimetres: 500)]`.

use super::{Context, Numeric};
use crate::diag::{Finding, Findings, Span, number as in_digits};
use crate::show::Photo;
use crate::source::{Fields, Label, Node, Shape, report_wrong};

/// Focal lengths in millimetres, from a telephone's widest to the longest that a person carries (common practice).
const LENSES: (f64, f64) = (1.0, 1200.0);
/// Widths of sensors in millimetres, from an endoscope's to a large plate's (common practice).
const SENSORS: (f64, f64) = (1.0, 130.0);
const PIXELS: (f64, f64) = (100.0, 50_000.0);
/// Millimetres from lens to display, up to the length of a hall.
const DISTANCES: (f64, f64) = (5.0, 100_000.0);
/// The shortest wavelength of light that is seen, in millimetres (ISO 20473: 380 nm); no sensor has smaller pixels.
const SHORTEST_WAVE_MILLIMETRES: f64 = 0.000_38;
/// At this distance in focal lengths, a display is as large on the sensor as in reality (thin lens).
const LIFE_SIZE: f64 = 2.0;
const MOST_PHOTOS: usize = 8;

/// Reads the list; without it there is none.
pub fn read_photos(node: Option<&Node>, context: &Context<'_, '_>, findings: &mut Findings) -> Option<Vec<Photo>> {
    let Some(node) = node else { return Some(Vec::new()) };
    let Shape::List(items) = &node.shape else {
        report_wrong(node, "a list of Photo(…) in [ ]", findings);
        return None;
    };
    if items.len() > MOST_PHOTOS {
        let message = format!("there are {} photos; the limit is {MOST_PHOTOS}", items.len());
        findings.push(Finding::error(node.span, message).hint("list only cameras that you use"));
        return None;
    }
    let read: Vec<Option<Photo>> = items.iter().map(|item| read_photo(item, context, findings)).collect();
    read.into_iter().collect()
}

fn read_photo(node: &Node, context: &Context<'_, '_>, findings: &mut Findings) -> Option<Photo> {
    if node.head() != Some("Photo") {
        report_wrong(
            node,
            "Photo(lens_millimetres: …, sensor_millimetres: …, pixels: …, distance_millimetres: …)",
            findings,
        );
        return None;
    }
    let mut fields = Fields::open(node, "Photo", findings)?;
    let name = fields.optional::<Label>("name", findings);
    let mut number =
        |name, (lowest, highest)| Numeric::plain(name, lowest, highest).take(&mut fields, None, context, findings);
    let lens = number("lens_millimetres", LENSES);
    let sensor = number("sensor_millimetres", SENSORS);
    let distance = number("distance_millimetres", DISTANCES);
    let pixels = Numeric::plain("pixels", PIXELS.0, PIXELS.1).take_whole(&mut fields, None, context, findings);
    fields.close(findings);
    let (focal_millimetres, sensor_millimetres, pixels, distance_millimetres) = (lens?, sensor?, pixels?, distance?);
    let name = name?.map(|Label(name)| name).filter(|name| !name.trim().is_empty());
    let name = name.unwrap_or_else(|| {
        let pixels = in_digits(f64::from(pixels));
        format!("{focal_millimetres} mm lens, {pixels} pixels on {sensor_millimetres} mm")
    });
    let pixels = f64::from(pixels);
    let span = Some(node.span);
    let photo = Photo { name, focal_millimetres, sensor_millimetres, pixels, distance_millimetres, span };
    possible(photo, node.span, findings)
}

/// The photo, if optics allow it.
fn possible(photo: Photo, span: Span, findings: &mut Findings) -> Option<Photo> {
    let (lens, distance) = (photo.focal_millimetres, photo.distance_millimetres);
    if distance <= lens {
        let message = format!(
            "at {distance} mm the display is closer than the focal length of {lens} mm: the lens cannot form a picture"
        );
        let life_size = LIFE_SIZE * lens;
        let finding = Finding::error(span, message)
            .hint(format!("use {life_size} mm or more, where the picture is as large as the display"))
            .hint("for a phone, give its real focal length (a few millimetres) and the real width of its sensor");
        findings.push(finding);
        return None;
    }
    if photo.sensor_pixel_millimetres() < SHORTEST_WAVE_MILLIMETRES {
        let message = format!(
            "{} pixels on {} mm would be smaller than the wavelength of light",
            photo.pixels, photo.sensor_millimetres
        );
        findings.push(
            Finding::error(span, message).hint("give the width of the sensor in millimetres, from its data sheet"),
        );
        return None;
    }
    if distance < LIFE_SIZE * lens {
        let message = format!("at {distance} mm a lens of {lens} mm must magnify the display beyond life size");
        let hint = format!(
            "from {} mm a close-up lens is enough; closer needs extension tubes or a bellows",
            LIFE_SIZE * lens
        );
        findings.push(Finding::note(span, message).hint(hint));
    }
    Some(photo)
}
