//! Wear: how long each pixel is lit while the show runs, which ink does not move, and when a difference becomes visible.

use super::light::contrasts;
use super::running::{Running, running};
use super::study::{Study, index};
use super::{Budget, Figure};
use crate::diag::{Finding, Findings, number_of, percent};
use crate::panel::Panel;
use crate::render::Bitmap;
use crate::show::{Layer, Mode, Scene, Show};

/// Lifetime falls with this power of the brightness (common practice; the stock lines of data sheets give 1.8 to 2.7).
const EXPONENT: f64 = 2.0;
/// A step in brightness between neighbours that is seen at once (common practice).
const VISIBLE: f64 = 0.05;
/// The beginning of the figures about a layer that does not move.
pub const STANDS: &str = "stands: ";
/// From this share of the time on, a pixel that stands is worth a warning, and from the lower one a note.
const STANDS_STILL: (f64, f64) = (0.9, 0.6);
/// Places of an orbit of one pixel.
const ORBIT: [(i32, i32); 4] = [(0, 0), (1, 0), (1, 1), (0, 1)];
const WEAR: &str =
    "part of the time lit × (contrast / default contrast)²; a pixel ages by its own light (common practice)";
const SOURCE: &str = "lifetime to half brightness, proportional to 1 / brightness²; typical figure of a panel's data sheet at 25 °C, accelerated test";

/// A number for each pixel, row by row.
#[derive(Clone, Debug, PartialEq)]
pub struct WearMap {
    pub width: u32,
    pub height: u32,
    /// The share of the running time that each pixel is lit, 0 to 1.
    pub lit: Vec<f64>,
    /// The same, weighed by the light: 1 is lit all the time at the panel's default contrast.
    pub wear: Vec<f64>,
}

/// The map of a show; `frames` one list a scene.
pub fn wear_map(show: &Show, frames: &[Vec<Bitmap>]) -> WearMap {
    let (width, height) = show.view_size();
    let Running { shares, .. } = running(show);
    let pixels = width as usize * height as usize;
    let mut map = WearMap { width, height, lit: vec![0.0; pixels], wear: vec![0.0; pixels] };
    for ((scene, frames), share) in show.scenes().iter().zip(frames).zip(shares) {
        let part = share / frames.len().max(1) as f64;
        for (frame, contrast) in frames.iter().zip(contrasts(show, scene)) {
            let light = light(show, contrast);
            for (x, y) in frame.lit_pixels() {
                let pixel = index(x, y, width);
                map.lit[pixel] += part;
                map.wear[pixel] += part * light;
            }
        }
    }
    map
}

/// The part of its light that each pixel still gives after some hours of the show, row by row. `None` if the lifetime of the panel
/// is not known. Light falls to half within the lifetime, as for the hours until a difference is visible.
pub fn light_left(show: &Show, frames: &[Vec<Bitmap>], hours: f64) -> Option<Vec<f64>> {
    let halvings = halvings_an_hour(show.panel(), 1.0)?;
    Some(wear_map(show, frames).wear.iter().map(|wear| libm::exp2(-hours * wear * halvings)).collect())
}

/// How often the light of a pixel of this wear halves in an hour of the show; `None` where the panel's lifetime is not known.
pub fn halvings_an_hour(panel: &Panel, wear: f64) -> Option<f64> {
    panel.lifetimes.first().map(|life| wear / f64::from(life.hours))
}

fn light(show: &Show, contrast: u8) -> f64 {
    (f64::from(contrast) / f64::from(show.panel().drive.contrast.max(1))).powf(EXPONENT)
}

impl WearMap {
    /// The same when the picture orbits by one pixel.
    fn in_orbit(&self) -> Vec<f64> {
        let at = |x: i32, y: i32| {
            let inside = x >= 0 && y >= 0 && x < self.width.cast_signed() && y < self.height.cast_signed();
            if inside { self.wear[index(x, y, self.width)] } else { 0.0 }
        };
        let mean = |x: i32, y: i32| ORBIT.iter().map(|(right, down)| at(x - right, y - down)).sum::<f64>() / 4.0;
        (0..self.height.cast_signed())
            .flat_map(|y| (0..self.width.cast_signed()).map(move |x| (x, y)))
            .map(|(x, y)| mean(x, y))
            .collect()
    }
}

fn spread(wear: &[f64]) -> f64 {
    let (least, most) =
        wear.iter().fold((f64::INFINITY, 0.0f64), |(least, most), wear| (least.min(*wear), most.max(*wear)));
    (most - least).max(0.0)
}

/// Computes the wear; a layer that is almost always lit is a warning.
pub fn wear(show: &Show, frames: &[Vec<Bitmap>], studies: &[Vec<Study<'_>>], findings: &mut Findings) -> Budget {
    let map = wear_map(show, frames);
    let Running { shares, basis } = running(show);
    let longest = map.lit.iter().copied().fold(0.0, f64::max);
    let pixels = map.lit.len().max(1) as f64;
    let lit = "lit frames / all frames, weighted by the time of each scene";
    let mut figures = vec![
        Figure::new("time lit, mean of all pixels", map.lit.iter().sum::<f64>() / pixels * 100.0, "% of the time")
            .from(lit, basis),
        Figure::new("time lit, longest-lit pixel", longest * 100.0, "% of the time").from(lit, basis).headline(),
        Figure::new("pixels never lit", map.lit.iter().filter(|lit| **lit == 0.0).count() as f64, "px")
            .from("counted", basis),
    ];
    if show.panel().controller.is_lcd() {
        return Budget { title: "wear", figures }; // its pixels have no light of their own to lose
    }
    let (now, orbit) = (spread(&map.wear), spread(&map.in_orbit()));
    figures.push(Figure::new("uneven wear", now, "").from(WEAR, basis).rough());
    figures.push(
        Figure::new("uneven wear with a one-pixel orbit", orbit, "")
            .from("mean over four places one pixel apart", basis)
            .rough(),
    );
    figures.extend(hours(show.panel(), now, "hours until a difference is visible").map(Figure::headline));
    figures.extend(hours(show.panel(), orbit, "the same with a one-pixel orbit"));
    let still = standing(studies, &shares);
    for still in still.iter().take(MOST_TOLD) {
        let name = format!("{STANDS}`{}` in scene {}", still.layer.name, still.scene.name);
        let formula = format!(
            "part of the time that its longest-lit pixel is lit; {} of its pixels are lit as long",
            still.pixels
        );
        figures.push(Figure::new(name, still.share * 100.0, "% of the time").from(formula, basis).detail());
    }
    if let Some(worst) = still.first() {
        report(worst, basis, findings);
    }
    Budget { title: "wear", figures }
}

/// Most layers listed as lit longest.
const MOST_TOLD: usize = 5;

/// Hours until the most and the least worn pixel differ visibly, where the panel's lifetime is known.
fn hours(panel: &Panel, spread: f64, name: &str) -> Option<Figure> {
    let life = panel.lifetimes.first()?;
    let hours = hours_to_visible(f64::from(life.hours), spread)?;
    let formula = format!(
        "{} h to half brightness × log₂(1 / 95 %) / unevenness: a loss of 5 % is visible; the default contrast is assumed to give the {} cd/m² of the data sheet; twice the brightness gives a quarter of the time",
        life.hours, life.candela_per_square_metre
    );
    Some(Figure::new(name, hours, "h").from(formula, SOURCE).rough())
}

fn hours_to_visible(life: f64, spread: f64) -> Option<f64> {
    (spread > 0.0).then(|| life * (1.0 / (1.0 - VISIBLE)).log2() / spread)
}

/// A layer and how long it stands still.
struct StillLayer<'a> {
    scene: &'a Scene,
    layer: &'a Layer,
    /// The share of the running time that its steadiest pixel is lit.
    share: f64,
    /// How many of its pixels are lit so long.
    pixels: usize,
}

/// Every layer that paints, the longest standing first.
fn standing<'a>(studies: &[Vec<Study<'a>>], shares: &[f64]) -> Vec<StillLayer<'a>> {
    let of_a_scene = |(studies, share): (&Vec<Study<'a>>, &f64)| {
        let still = |study: &Study<'a>| {
            let (frames, pixels) = study.steadiest();
            let lit = f64::from(frames) / f64::from(study.scene.frames.0.max(1));
            StillLayer { scene: study.scene, layer: study.layer, share: lit * share, pixels }
        };
        studies.iter().filter(|study| study.layer.mode == Mode::Paint).map(still).collect::<Vec<_>>()
    };
    let mut all: Vec<StillLayer<'a>> = studies.iter().zip(shares).flat_map(of_a_scene).collect();
    all.retain(|still| still.share > 0.0);
    all.sort_by(|one, other| other.share.total_cmp(&one.share).then(other.pixels.cmp(&one.pixels)));
    all
}

fn report(still: &StillLayer<'_>, basis: &str, findings: &mut Findings) {
    let StillLayer { scene, layer, share, pixels } = still;
    if *share < STANDS_STILL.1 {
        return;
    }
    let message = format!(
        "`{}` in scene `{}` is lit without change for {} of the time ({basis}): its {} will age faster than the others and leave a shadow",
        layer.name,
        scene.name,
        percent(*share),
        number_of(*pixels, "pixel")
    );
    let finding = if *share < STANDS_STILL.0 {
        Finding::note(layer.span, message)
    } else {
        Finding::warning(layer.span, message)
    };
    findings.push(
        finding
            .hint("move it by a few pixels now and then, let it blink, or change to a dim scene")
            .hint("or lower the contrast"),
    );
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Worked by hand: 5 % less light is reached after 7.4 % of the time to half (log₂ 1/0.95 = 0.0740).
    #[test]
    fn a_difference_is_visible_long_before_half_brightness() {
        let hours = hours_to_visible(10_000.0, 1.0).expect("it wears");
        assert!((hours - 740.0).abs() < 1.0, "{hours}");
        assert_eq!(hours_to_visible(10_000.0, 0.5), Some(hours * 2.0));
        assert_eq!(hours_to_visible(10_000.0, 0.0), None);
    }

    #[test]
    fn an_orbit_spreads_the_wear_of_a_lone_pixel_over_four() {
        let mut wear = vec![0.0; 12];
        wear[5] = 1.0;
        let map = WearMap { width: 4, height: 3, lit: wear.clone(), wear };
        assert_eq!((spread(&map.wear), spread(&map.in_orbit())), (1.0, 0.25));
    }
}
