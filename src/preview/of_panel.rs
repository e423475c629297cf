//! The appearance of a mounted display: its colours, and the opening of the bezel in pixels as the viewer sees them.

use super::look::{BezelOpening, Look};
use super::tone::{Material, Surroundings};
use crate::budget::preview_pitch;
use crate::font::RgbColour;
use crate::panel::{self, Mounting, Panel, Tint};
use crate::render::Bitmap;
use crate::whole::rounded;

/// A gap between pixels is shown if a display pixel has at least this number of preview pixels.
const LEAST_WITH_GAP: u32 = 4;

impl Look {
    /// The appearance of a mounted panel in the dark. `pitch` is the number of preview pixels for one display pixel; by default it
    /// suits the size.
    pub fn of(panel: &Panel, mounting: &Mounting, pitch: Option<u32>) -> Self {
        Self::made_of(Material::of(panel.tint), Surroundings::Night, panel, mounting, pitch)
    }

    /// The same as if the display were made of something else, and under another light.
    pub fn made_of(
        material: Material,
        surroundings: Surroundings,
        panel: &Panel,
        mounting: &Mounting,
        pitch: Option<u32>,
    ) -> Self {
        let (width, _) = mounting.view_size(panel);
        let pitch = pitch.unwrap_or_else(|| preview_pitch(width));
        let second = match material {
            Material::Shining(Tint::Split { first_lower_row, .. }) => {
                Some(lower_pixels(first_lower_row, panel, mounting))
            }
            _ => None,
        };
        let dot_of = |pitch: u32, axis: usize| {
            let [dot, whole] = [panel.dot_micrometres[axis], panel.pitch_micrometres[axis]].map(f64::from);
            // A gap is shown from three pixels on, however narrow it is.
            let widest = if pitch >= LEAST_WITH_GAP { pitch - 1 } else { pitch };
            rounded::<u32>(f64::from(pitch) * dot / whole.max(1.0)).clamp(1, widest.max(1))
        };
        let (across, down) = mounting.view_pitch_millimetres(panel);
        let (dot, pitch_down, dot_down) = if (down / across - 1.0).abs() < NEARLY_SQUARE {
            let dot = dot_of(pitch, 0);
            (dot, pitch, dot)
        } else {
            let turned = usize::from(mounting.controller_turn().transposed);
            let pitch_down = rounded::<u32>(f64::from(pitch) * down / across).max(1);
            (dot_of(pitch, turned), pitch_down, dot_of(pitch_down, 1 - turned))
        };
        let opening = mounting.opening.map(|opening| in_pixels(opening, panel, mounting));
        let mut tones = material.tones(surroundings);
        if panel.controller.is_lcd() && material == Material::GreyLcd {
            tones.second = halfway(tones.unlit, tones.lit);
        }
        Self { pitch, dot, pitch_down, dot_down, tones, reference: panel.drive.contrast, second, opening }
    }
}

/// Pixels whose sides differ by less than this are shown square.
const NEARLY_SQUARE: f64 = 0.125;

/// The colour between two.
fn halfway(one: RgbColour, other: RgbColour) -> RgbColour {
    std::array::from_fn(|at| one[at].midpoint(other[at]))
}

/// The pixels of the viewer's picture that shine in the lower colour of a split display.
fn lower_pixels(first_lower_row: u32, panel: &Panel, mounting: &Mounting) -> Bitmap {
    let (width, height) = mounting.view_size(panel);
    let mut pixels = Bitmap::new(width, height);
    for y in 0..height.cast_signed() {
        for x in 0..width.cast_signed() {
            let (_, row) = mounting.panel_pixel(panel, x, y);
            pixels.set(x, y, i64::from(row) >= i64::from(first_lower_row));
        }
    }
    pixels
}

fn in_pixels(opening: panel::PanelOpening, panel: &Panel, mounting: &Mounting) -> BezelOpening {
    match opening {
        panel::PanelOpening::Pixels(pixels) => BezelOpening {
            left: f64::from(pixels.left),
            top: f64::from(pixels.top),
            width: f64::from(pixels.width),
            height: f64::from(pixels.height),
        },
        panel::PanelOpening::Millimetres { left, top, width, height } => {
            let (across, down) = mounting.view_pitch_millimetres(panel);
            BezelOpening { left: left / across, top: top / down, width: width / across, height: height / down }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::panel::{MountingTurn, panels};

    #[test]
    fn the_lower_colour_of_a_split_glass_follows_the_turn() {
        let split = panels().iter().find(|panel| matches!(panel.tint, Tint::Split { .. })).expect("a split display");
        let second = |turn| {
            let mounting = Mounting { turn, ..Mounting::default() };
            Look::of(split, &mounting, None).second.expect("two colours")
        };
        let (upright, half) = (second(MountingTurn::Upright), second(MountingTurn::Half));
        assert!(!upright.get(0, 15) && upright.get(0, 16) && upright.get(5, 63));
        assert!(half.get(0, 0) && half.get(0, 47) && !half.get(0, 48));
    }

    #[test]
    fn an_opening_in_millimetres_is_taken_by_the_pitch() {
        let panel = panels().iter().find(|panel| panel.width == 72).expect("a small display");
        let (across, down) = panel.pitch_millimetres();
        let opening = panel::PanelOpening::Millimetres {
            left: across,
            top: 2.0 * down,
            width: 70.0 * across,
            height: 36.0 * down,
        };
        let mounting = Mounting { opening: Some(opening), ..Mounting::default() };
        let found = Look::of(panel, &mounting, None).opening.expect("an opening");
        let near = |one: f64, other: f64| (one - other).abs() < 1e-9;
        assert!(near(found.left, 1.0) && near(found.top, 2.0) && near(found.width, 70.0) && near(found.height, 36.0));
    }
}
