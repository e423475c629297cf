//! The parts of a layer that move on their own. Laid one after another, they mark the same pixels as the layer.

use super::frames::{clipped, ink, moment, own_moment};
use super::ink::Ink;
use super::layers::group::moments;
use super::layers::nature::{distances, stars_at};
use super::place::LayerMoment;
use crate::show::{Drawing, Layer, Mode, Show};

/// What each part of a layer marks at a frame, live values at their samples; `None` while a part is not shown. All frames have the
/// same number of parts, in the same order. A layer that has no parts of its own is one part.
pub(crate) fn layer_parts(show: &Show, layer: &Layer, frame: u32) -> Vec<Option<Ink>> {
    let (width, height) = show.view_size();
    let mut parts = Vec::new();
    let may_part = layer.mode != Mode::Invert && layer.follows.is_empty();
    let of_layer = own_moment(layer, moment(show, frame));
    take_apart(show, layer, may_part, (of_layer, &Ink::new(width, height)), &mut parts);
    parts
}

/// Adds the parts of a layer, which is laid on some ink at a moment by its own clock.
fn take_apart(
    show: &Show,
    layer: &Layer,
    may_part: bool,
    (moment, on): (Option<LayerMoment>, &Ink),
    parts: &mut Vec<Option<Ink>>,
) {
    match &layer.drawing {
        Drawing::Group(group) if may_part && group.mask.is_empty() && group.layers.iter().all(only_adds) => {
            let within = moment.map(|moment| (clipped(layer, moment, on), moments(group, moment)));
            let (on, mut moments) = within.map_or((on.fresh(), None), |(on, moments)| (on, Some(moments)));
            for part in &group.layers {
                let moment = moments.as_mut().and_then(Iterator::next).and_then(|moment| own_moment(part, moment));
                take_apart(show, part, true, (moment, &on), parts);
            }
        }
        Drawing::Stars(stars) if may_part => {
            let at = |distance: u32| {
                let moment = moment?;
                let mut ink = clipped(layer, moment, on);
                stars_at(stars, distance, moment, &mut ink);
                Some(ink)
            };
            parts.extend((1..=distances(stars)).map(at));
        }
        _ => parts.push(moment.map(|moment| ink(show, layer, moment, on))),
    }
}

/// Whether a layer of a group does nothing but add its ink to that of the group.
fn only_adds(layer: &Layer) -> bool {
    layer.mode == Mode::Paint && !matches!(layer.drawing, Drawing::Glitch(_))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::diag::Findings;
    use crate::render::layer_ink;
    use crate::show::{KINDS, load};
    use crate::source::{FilesInMemory, Reader};
    use std::path::Path;

    fn show(layers: &str) -> Show {
        let script = format!(
            r#"Show(name: "parts", frame_rate: 5, start: "only", panel: "0.42in-72x40-ssd1306",
                bus: I2c(clock: 400_000, write_limit: 32), microcontroller: Part(name: "ATmega328P", flash_left: 8_000, ram_left: 900),
                fonts: {{"small": Shipped("cleat"), "large": Shipped("binnacle")}},
                scenes: [Scene(name: "only", seconds: 4, layers: [{layers}])])"#
        );
        let files = FilesInMemory::default().with("parts.ron", script);
        let mut findings = Findings::default();
        load(&mut Reader::new(&files), Path::new("parts.ron"), &mut findings)
            .unwrap_or_else(|| panic!("{layers}: {findings:?}"))
    }

    #[test]
    fn the_parts_of_a_layer_mark_together_what_it_marks() {
        let examples = KINDS.iter().map(|kind| kind.example).filter(|example| !example.contains("picture"));
        let inner: Vec<&str> = examples.clone().step_by(3).collect();
        let group = format!(
            "Group(x: Swing(from: -9, to: 4, seconds: 1.5), repeat_seconds: 1.2, stagger_seconds: 0.1, from: 0.5, clip: Window(at: (9, 4), size: (50, 30)), layers: [{}])",
            inner.join(", ")
        );
        for example in examples.chain([group.as_str()]) {
            let show = show(example);
            let layer = &show.scenes()[0].layers[0];
            if !layer.follows.is_empty() {
                continue; // it is not drawn part by part
            }
            let counts: Vec<usize> = (0..20).map(|frame| layer_parts(&show, layer, frame).len()).collect();
            assert!(counts.iter().all(|count| *count == counts[0] && *count > 0), "{example}: {counts:?}");
            for frame in 0..20 {
                let mut together = Ink::new(72, 40);
                layer_parts(&show, layer, frame).iter().flatten().for_each(|part| together.inside.unite(&part.inside));
                let whole = layer_ink(&show, layer, frame).unwrap_or_else(|| Ink::new(72, 40));
                assert_eq!(together.inside, whole.inside, "{example} at frame {frame}");
            }
        }
    }
}
