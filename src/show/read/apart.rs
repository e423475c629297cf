//! Divides a layer whose parts follow different live values into one layer per part. Layers that follow only one value have fewer
//! pictures.

use crate::show::{Drawing, Following, Layer, LiveCharacter, LiveId, LiveText, Meter, Mode, Track};

/// The layers into which a layer is divided.
pub fn apart(layer: Layer) -> Vec<Layer> {
    match &layer.drawing {
        Drawing::LiveText(LiveText { text }) => characters(&layer, text),
        Drawing::Meter(meter) if changes_apart(&layer, meter) => level_and_mark(&layer, meter),
        _ => vec![layer],
    }
}

/// Whether a live value moves only the level of a meter or only its mark, so that they need fewer pictures apart.
fn changes_apart(layer: &Layer, meter: &Meter) -> bool {
    let cause = |track: &Track| (track.live.map(|following| following.value), track.keys.len() > 1);
    let differ = meter.mark.as_ref().is_some_and(|mark| cause(mark) != cause(&meter.value));
    differ && !layer.follows.is_empty() && layer.mode != Mode::Invert
}

/// A meter and its mark.
fn level_and_mark(layer: &Layer, meter: &Meter) -> Vec<Layer> {
    let of = |meter: Meter| {
        let mut part = Layer { drawing: Drawing::Meter(meter), ..layer.clone() };
        part.find_followed();
        part
    };
    meter.clone().apart().map(of).to_vec()
}

/// A live text, character by character.
fn characters(layer: &Layer, text: &LiveCharacter) -> Vec<Layer> {
    let Some(following) = text.shows.live else { return vec![layer.clone()] };
    let of = |cell: u32| {
        let mut text = LiveCharacter { cell, ..text.clone() };
        text.shows.live = Some(Following { value: LiveId(following.value.0 + cell as usize), ..following });
        let mut part = Layer { drawing: Drawing::LiveText(LiveText { text }), ..layer.clone() };
        part.find_followed();
        part
    };
    (0..text.field.cells).map(of).collect()
}

#[cfg(test)]
mod tests {
    use crate::diag::Findings;
    use crate::show::load;
    use crate::source::{FilesInMemory, Reader};

    /// How many layers become of a meter with these fields, and how many live values each of them follows.
    fn parts(fields: &str) -> Vec<usize> {
        let script = format!(
            "Show(name: \"m\", panel: \"0.42in-72x40-ssd1306\", bus: I2c(clock: 400_000), microcontroller: \"ATmega328P\", \
             frame_rate: 10, start: \"a\", scenes: [Scene(name: \"a\", seconds: 2, layers: [Meter(at: Left, size: (8, 30), {fields})])])"
        );
        let files = FilesInMemory::default().with("m.ron", script);
        let mut findings = Findings::default();
        let show = load(&mut Reader::new(&files), "m.ron".as_ref(), &mut findings);
        let show = show.unwrap_or_else(|| panic!("{findings:?}"));
        show.scenes()[0].layers.iter().map(|layer| layer.follows.len()).collect()
    }

    #[test]
    fn a_meter_is_divided_where_its_level_and_its_mark_change_by_different_causes() {
        const LIVE: &str = "Live(name: \"a\", from: 0, to: 9, steps: 9)";
        const OTHER: &str = "Live(name: \"b\", from: 0, to: 9, steps: 9)";
        const MOVING: &str = "Swing(from: 0, to: 1, seconds: 1)";
        assert_eq!(parts(&format!("value: {LIVE}, mark: {OTHER}")), [1, 1]);
        assert_eq!(parts(&format!("value: {MOVING}, mark: {LIVE}")), [0, 1]);
        assert_eq!(parts(&format!("value: {LIVE}, mark: 0.5")), [1, 0]);
        assert_eq!(parts(&format!("value: {LIVE}, mark: Live(name: \"a\", low: 0.2)")), [1]);
        assert_eq!(parts(&format!("value: {LIVE}, mark: {OTHER}, mode: Invert")), [2]);
        assert_eq!(parts(&format!("value: 0.4, mark: {MOVING}")), [0]);
    }
}
