//! Areas of a scene: the moving parts of layers as sheets of ink behind rectangles. The player composes the picture from them.

mod block;
mod carrier;
mod course;
mod cut;
mod division;
mod film;
mod history;
mod layers;
mod live;
mod noise;
mod play;
mod row;
mod sheet;
mod stack;

pub use block::Block;
pub use carrier::{Carriage, Carrier, NoAreas, no_live};
pub use division::Division;
pub use history::kept_bytes;
pub use layers::SceneInk;
pub use play::{LastFrame, LiveFrames, Play, live_bytes};
pub use stack::{AreaChoice, Extent, Proposals, live_cells};

#[cfg(test)]
mod tests {
    use super::layers::{InkColumns, LayerInk};
    use super::*;
    use crate::reel::memory::{DisplayState, Memory};
    use crate::reel::{Cost, Next, PageBitmap};
    use crate::show::Mode;
    use crate::units::Nanoseconds;
    use crate::whole::limited;
    use proptest::prelude::*;

    const WIDTH: usize = 50;
    const ROWS: u32 = 40;

    /// A shape that moves on its way, blinks, or grows.
    fn layer() -> impl Strategy<Value = LayerInk> {
        let mode = prop::sample::select(vec![Mode::Paint, Mode::Paint, Mode::Erase, Mode::Invert]);
        let shape = prop::collection::vec(1u128..256, 1..12);
        let step = (-2i32..3, -1i32..2, 1usize..6, 0usize..7);
        (mode, shape, (0i32..45, 0i32..36), step, 8usize..30).prop_map(
            |(mode, shape, (x, y), (across, down, slow, on), frames)| {
                let frame = |frame: usize| -> InkColumns {
                    let at: i32 = limited(frame % 20 / slow);
                    let (x, y) =
                        ((x + across * at).rem_euclid(45).cast_unsigned() as usize, (y + down * at).rem_euclid(36));
                    let mut ink = vec![0; WIDTH];
                    if on == 0 || (frame / on).is_multiple_of(2) {
                        let columns = shape.iter().zip(ink.iter_mut().skip(x));
                        columns.for_each(|(bits, column)| *column = (bits << y) & ((1 << ROWS) - 1));
                    }
                    ink
                };
                LayerInk { frames: (0..frames).map(frame).collect(), ..LayerInk::one(mode) }
            },
        )
    }

    proptest! {
        #![proptest_config(ProptestConfig { cases: 64, failure_persistence: None, ..ProptestConfig::default() })]
        #[test]
        fn areas_show_all_layers_at_every_frame(
            mut layers in prop::collection::vec(layer(), 1..5),
            extent in prop::sample::select(vec![Extent::Moving, Extent::Panel(ROWS as usize / 8)]),
        ) {
            let frames = layers.iter().map(|layer| layer.frames.len()).min().unwrap_or(0);
            layers.iter_mut().for_each(|layer| layer.frames.truncate(frames));
            let picture = |frame: usize| {
                layers.iter().fold(vec![0; WIDTH], |mut picture, layer| {
                    for (below, ink) in picture.iter_mut().zip(&layer.frames[frame]) {
                        match layer.mode {
                            Mode::Paint => *below |= ink,
                            Mode::Erase => *below &= !ink,
                            Mode::Invert => *below ^= ink,
                        }
                    }
                    picture
                })
            };
            let scene = SceneInk { layers: layers.clone(), inverted: vec![false; frames] };
            let proposals = Proposals::of(&scene);
            let areas = proposals.areas(&picture(0), &vec![], AreaChoice::All, extent);
            let Ok(areas) = areas else { return Ok(()) };
            let beneath = areas[0].rectangle.clone();
            let last = LastFrame { at: frames - 1, then: Next::Repeat };
            let mut play = Play::new(Block::of(&areas, 28, false), last, &LiveFrames::default());
            let cost = Cost::new(Nanoseconds(22_500), Nanoseconds(47_500), 32, true);
            let mut memory = Memory::unknown(WIDTH, ROWS);
            for frame in 0..frames + 2 {
                prop_assert!(play.frame(frame, &mut memory, &cost, 28).is_some());
                let wrong = memory.changed(&PageBitmap::new(ROWS, picture(frame % frames)), DisplayState::opening(Some(9)));
                for column in beneath.columns.clone() {
                    let wrong = beneath.pages().filter(|page| wrong[column] >> page & 1 == 1).collect::<Vec<_>>();
                    prop_assert!(wrong.is_empty(), "frame {frame} of {frames}, column {column}, pages {wrong:?}");
                }
            }
        }
    }
}
