//! Live values on the page: a slider for each, and what each step changes in the pictures of scenes.

use super::Subject;
use super::picture::{deflated, differences, packed};
use crate::render::{Bitmap, draw_in_state};
use crate::show::{LiveId, LiveState, Show};
use crate::whole::limited;
use maud::{Markup, html};
use serde::Serialize;

/// Pictures that are drawn for the sliders of a scene at most; a scene that needs more has none.
const MOST_DRAWN: usize = 6_000;
/// Bytes of such pictures at most, not yet deflated.
const MOST_BYTES: usize = 6 << 20;

/// A live value as the page's script knows it.
#[derive(Serialize)]
pub struct LiveData {
    from: i16,
    /// Steps for each value above the lowest, in 2⁻¹⁶ of a step.
    factor: u16,
}

/// The data of a scene for sliders: its frames with all values at their lowest, and what each step of each value changes.
#[derive(Serialize)]
pub struct SceneSliders {
    /// The values that the scene follows, and how many steps each has.
    values: Vec<(usize, u8)>,
    /// For each of these values the steps of its samples, frame by frame.
    samples: Vec<Vec<u8>>,
    /// The value among these that the contrast follows, and the contrast at each of its steps.
    light: Option<(usize, Vec<u8>)>,
    /// Whether the changes differ from frame to frame; else those of the first frame hold for all.
    every_frame: bool,
    /// Deflated: the frames, each as its difference from the one before; then for each value and step the changes.
    pictures: String,
}

/// The live values.
pub fn live_data(show: &Show) -> Vec<LiveData> {
    show.live().iter().map(|live| LiveData { from: live.from, factor: live.factor() }).collect()
}

/// The sliders with their text; empty without live values.
pub fn sliders(subject: &Subject<'_>) -> Markup {
    let live = subject.show.live();
    html! {
        @if !live.is_empty() {
            div .controls role="group" aria-label="Live values" {
                span .what { "Live values" }
                @for (number, value) in live.iter().enumerate() {
                    label { (value.name) " "
                        input .live type="range" min=(value.from) max=(value.to) value=(value.start) data-live=(number);
                        output .live-said data-live=(number) { "sample" }
                    }
                }
                @if !subject.show.histories().is_empty() { span .what { "Charts show the samples" } }
                button #samples type="button" { "back to the samples" }
                output #live-here aria-live="off" {}
            }
        }
    }
}

/// The pictures of a scene for its sliders. `None` if it follows no value, or if the pictures would be too large.
pub fn scene_sliders(show: &Show, number: usize) -> Result<Option<SceneSliders>, String> {
    let scene = &show.scenes()[number];
    let values: Vec<usize> = (0..show.live().len()).filter(|value| scene.follows(LiveId(*value))).collect();
    let steps: usize = values.iter().map(|value| usize::from(show.live()[*value].steps)).sum();
    let frames = scene.frames.0 as usize;
    let drawn = frames * (steps + 1);
    if values.is_empty() || drawn > MOST_DRAWN {
        return Ok(None);
    }
    let lowest = vec![0; show.live().len()];
    // Charts keep to the samples.
    let draw = |frame: usize, steps: &[u8]| {
        let state = LiveState { steps: steps.to_vec(), ..show.sample_state(limited(frame)) };
        draw_in_state(show, scene, limited(frame), &state)
    };
    let first: Vec<Bitmap> = (0..frames).map(|frame| draw(frame, &lowest)).collect();
    let bases: Vec<Vec<u8>> = first.iter().map(packed).collect();
    let at = |value: usize, step: u8| {
        let mut steps = lowest.clone();
        steps[value] = step;
        steps
    };
    let change = |frame: usize, steps: &[u8]| -> Vec<u8> {
        packed(&draw(frame, steps)).iter().zip(&bases[frame]).map(|(now, base)| now ^ base).collect()
    };
    let each_step = || values.iter().flat_map(|value| (1..=show.live()[*value].steps).map(|step| at(*value, step)));
    // Layers that overlap may change one another's picture; then a sum of changes is not what is shown.
    let highest: Vec<u8> = show.live().iter().map(|live| live.steps).collect();
    let half: Vec<u8> = highest.iter().map(|steps| steps / 2).collect();
    let adds_up = |frame: usize, steps: &[u8]| {
        let none = vec![0; bases[frame].len()];
        let sum = values.iter().fold(none, |sum, value| {
            let own = change(frame, &at(*value, steps[*value]));
            sum.iter().zip(own).map(|(sum, own)| sum ^ own).collect()
        });
        sum == change(frame, steps)
    };
    if values.len() > 1 && !(0..frames).all(|frame| adds_up(frame, &highest) && adds_up(frame, &half)) {
        return Ok(None);
    }
    let of_first: Vec<Vec<u8>> = each_step().map(|steps| change(0, &steps)).collect();
    let of_frame = |frame: usize| each_step().map(move |steps| (frame, steps));
    let holds = (1..frames)
        .all(|frame| of_frame(frame).zip(&of_first).all(|((frame, steps), first)| change(frame, &steps) == *first));
    let mut bytes = differences(first.iter());
    if holds {
        bytes.extend(of_first.concat());
    } else {
        let all = (0..frames).flat_map(of_frame).flat_map(|(frame, steps)| change(frame, &steps));
        bytes.extend(all);
    }
    if bytes.len() > MOST_BYTES {
        return Ok(None);
    }
    let samples = values.iter().map(|value| {
        let live = &show.live()[*value];
        let step = |frame: usize| live.step(live.sample(show.frame_rate().seconds_at(limited(frame))));
        (0..frames).map(step).collect()
    });
    let place = |value: LiveId| values.iter().position(|own| *own == value.0);
    let light = scene.contrast.at_steps().and_then(|(value, contrasts)| Some((place(value)?, contrasts)));
    Ok(Some(SceneSliders {
        light,
        samples: samples.collect(),
        values: values.iter().map(|value| (*value, show.live()[*value].steps)).collect(),
        every_frame: !holds,
        pictures: deflated(&bytes)?,
    }))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::diag::Findings;
    use crate::show::load;
    use crate::source::{Disk, Reader};
    use base64::Engine;
    use base64::engine::general_purpose::STANDARD;
    use std::io::Read;
    use std::path::Path;

    fn loaded(script: &str) -> Show {
        load(&mut Reader::new(&Disk), Path::new(script), &mut Findings::default()).expect("a show")
    }

    /// As page.js puts pictures together, for steps drawn from a multiplicative generator, against the renderer's own.
    #[test]
    fn changes_add_up_to_what_is_drawn() {
        let show = loaded("examples/atmega328p-level/tank.ron");
        let sliders = scene_sliders(&show, 0).expect("packed").expect("sliders");
        let deflated = STANDARD.decode(&sliders.pictures).expect("base 64");
        let mut bytes = Vec::new();
        flate2::read::DeflateDecoder::new(&deflated[..]).read_to_end(&mut bytes).expect("deflated");
        let scene = &show.scenes()[0];
        let (width, height) = show.view_size();
        let size = (width.div_ceil(8) * height) as usize;
        let frames = scene.frames.0 as usize;
        let (lowest, changes) = bytes.split_at(frames * size);
        let (mut base, mut drawn) = (vec![0; size], 1u32);
        for frame in 0..frames {
            base.iter_mut().zip(&lowest[frame * size..]).for_each(|(base, change)| *base ^= change);
            let all: usize = sliders.values.iter().map(|(_, steps)| usize::from(*steps)).sum();
            let mut first = if sliders.every_frame { frame * all } else { 0 };
            let (mut picture, mut steps) = (base.clone(), vec![0; show.live().len()]);
            for (value, most) in &sliders.values {
                drawn = drawn.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
                let step = drawn.to_be_bytes()[1] % (most + 1);
                steps[*value] = step;
                if step > 0 {
                    let change = &changes[(first + usize::from(step) - 1) * size..];
                    picture.iter_mut().zip(change).for_each(|(byte, change)| *byte ^= change);
                }
                first += usize::from(*most);
            }
            assert_eq!(
                picture,
                packed(&draw_in_state(&show, scene, limited(frame), &LiveState::at_steps(steps.clone()))),
                "frame {frame}, {steps:?}"
            );
        }
    }

    #[test]
    fn scenes_without_live_values_have_no_sliders() {
        assert!(scene_sliders(&loaded("scenes/sign.ron"), 0).expect("nothing to pack").is_none());
    }
}
