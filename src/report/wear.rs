//! The wear map: how long each pixel is lit, in a scale from dark blue to yellow that needs no hue to be read.

use super::chart::{Bar, bars};
use super::picture::png_address;
use super::plots::in_short;
use crate::budget::{Budget, STANDS, WearMap};
use crate::diag::number;
use crate::whole::{limited, rounded};
use maud::{Markup, html};

/// Ends and middle of the scale; its luminance rises evenly (checked in a test).
const SCALE: [[u8; 3]; 5] = [[0, 28, 68], [52, 71, 108], [113, 116, 122], [178, 167, 108], [255, 234, 90]];
/// Steps of the scale.
const STEPS: usize = 32;

/// The layers that do not move for the longest time; empty if all move.
pub fn standing(budgets: &[Budget]) -> Markup {
    let figures = budgets.iter().flat_map(|budget| &budget.figures);
    let standing = figures.filter_map(|figure| Some((figure.name.strip_prefix(STANDS)?, figure.value)));
    let rows: Vec<Bar> = standing
        .map(|(name, amount)| Bar {
            name: in_short(&name.replace('`', "").replace(" in scene ", ", ")).to_owned(),
            amount,
            part: false,
        })
        .collect();
    html! { @if !rows.is_empty() { (bars("Longest lit without change, by layer", "% of the time", &rows)) } }
}

/// The map with its key.
pub fn wear(map: &WearMap, basis: &str) -> Result<Markup, String> {
    let most = map.lit.iter().copied().fold(0.0, f64::max);
    let step = |lit: &f64| if most > 0.0 { rounded::<u8>(lit / most * (STEPS - 1) as f64) } else { 0 };
    let indices: Vec<u8> = map.lit.iter().map(step).collect();
    let address = png_address(map.width, map.height, &palette(), &indices)?;
    let key = png_address(limited(STEPS), 1, &palette(), &(0..limited(STEPS)).collect::<Vec<u8>>())?;
    let percent = number(most * 100.0);
    let label = format!("Map of the display: pixels are lit from 0 to {percent} percent of the time");
    Ok(html! {
        figure .wear {
            img .pixels src=(address) alt=(label) width=(map.width * 6) height=(map.height * 6);
            figcaption {
                "Lit: 0 % " img .key src=(key) alt="from dark blue to yellow" width="160" height="12"; " " (percent) " % of the time; "
                (basis) "."
            }
        }
    })
}

fn palette() -> Vec<[u8; 3]> {
    let parts = (SCALE.len() - 1) as f64;
    let colour = |step: usize| {
        let at = step as f64 / (STEPS - 1) as f64 * parts;
        let from = rounded::<usize>(at.floor()).min(SCALE.len() - 2);
        let share = at - from as f64;
        let mix = |channel: usize| {
            let (low, high) = (f64::from(SCALE[from][channel]), f64::from(SCALE[from + 1][channel]));
            rounded::<u8>(low + (high - low) * share)
        };
        [mix(0), mix(1), mix(2)]
    };
    (0..STEPS).map(colour).collect()
}

#[cfg(test)]
mod tests {
    use super::super::page::tests::relative_luminance;
    use super::*;

    #[test]
    fn the_scale_grows_brighter_at_each_step() {
        let bright: Vec<f64> = palette().into_iter().map(relative_luminance).collect();
        assert!(bright.windows(2).all(|pair| pair[0] < pair[1]), "{bright:?}");
    }
}
