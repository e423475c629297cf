//! Reading live texts: what they have in common with fields, and a live value for each character.

use super::following::MOST_VALUES;
use super::live::{TextForm, read_field_text};
use super::{Context, FieldRow, FieldSlot, ReadField};
use crate::diag::{Finding, Findings};
use crate::show::natural::{LayerEnd, track_end};
use crate::show::{
    Ease, Following, FontId, Key, LiveCharacter, LiveField, LiveId, LiveValue, Position, SetText, Track,
};
use crate::source::{Fields, Node, Placed, report_wrong};
use crate::whole::limited;

/// What messages say of it. Each character is an area of the player, which has twenty in a scene.
const LIVE_TEXT: TextForm = TextForm {
    noun: "live text",
    most_cells: 8.0,
    wider: "or use two live texts, or a `Field` where nothing moves behind it",
};

const ROWS: [(FieldSlot, &str); 7] = [
    (FieldSlot::new("name", "Its name, also in the firmware."), String::FORM),
    (FieldSlot::new("font", "Its font."), FontId::FORM),
    (
        FieldSlot::new(
            "characters",
            "The characters that the firmware can write; the space is included automatically.",
        ),
        String::FORM,
    ),
    (FieldSlot::new("width", "Number of characters, 1 to 8."), "a number"),
    (FieldSlot::new("align", "Where a shorter text is placed.").usual("Left"), "`Left`, `Centre` or `Right`"),
    (FieldSlot::new("at", "The position of the whole text. It does not move."), Position::FORM),
    (
        FieldSlot::new(
            "samples",
            "What previews show: seconds from the start of the scene, and a text. Write them where the name is first used.",
        )
        .usual("none"),
        "a list `[(0, \"12.4\"), (3.5, \"12.5\")]`",
    ),
];

impl ReadField for LiveCharacter {
    const FORM: &'static str = "the fields of a live text";
    /// It has none.
    type Usual = std::convert::Infallible;

    fn read(node: &Node, _: &FieldSlot, _: &mut Context<'_, '_>, findings: &mut Findings) -> Option<Self> {
        report_wrong(node, "the fields `name`, `font`, `characters`, `width` and `at`", findings);
        None
    }
    fn usual(value: Self::Usual) -> Self {
        match value {}
    }

    fn take(
        fields: &mut Fields<'_>,
        _: &FieldSlot,
        _: Option<Self::Usual>,
        context: &mut Context<'_, '_>,
        findings: &mut Findings,
    ) -> Option<Self> {
        let name = fields.required::<Placed<String>>("name", findings);
        let field = read_field_text(fields, name, &LIVE_TEXT, context, findings)?;
        if field.name.trim().is_empty() {
            let finding = Finding::error(field.span, "a live text needs a name");
            findings.push(finding.hint("write a name between the quotes"));
            return None;
        }
        let first = declared(&field, context, findings)?;
        Some(Self { shows: followed(first, &field), field, cell: 0 })
    }

    fn end(&self) -> LayerEnd {
        track_end(&self.shows)
    }
    fn tracks(&mut self, visit: &mut dyn FnMut(&mut Track)) {
        visit(&mut self.shows);
    }
    fn describe(_: &FieldSlot, rows: &mut Vec<FieldRow>) {
        rows.extend(ROWS.iter().map(|(slot, form)| slot.row(form)));
    }
}

/// The number of a character by its live value.
fn followed(value: LiveId, field: &LiveField) -> Track {
    let steps = limited(field.characters.len());
    let following = Following { value, low: 0.0, high: f64::from(steps), steps };
    Track { live: Some(following), ..Track::still(0.0) }
}

/// The live value of the first character. An equal name in another scene means the same text.
fn declared(field: &LiveField, context: &mut Context<'_, '_>, findings: &mut Findings) -> Option<LiveId> {
    if let Some(known) = context.live_texts.iter().find(|known| known.field.name == field.name) {
        let of = |field: &LiveField| (field.characters.clone(), field.cells, field.align);
        let (other, hint) = if of(&known.field) != of(field) {
            ("other characters, another width or `align`", "write the same, or use another name")
        } else if field.samples.is_empty() || field.samples == known.field.samples {
            return Some(known.first);
        } else if known.field.samples.is_empty() {
            ("no samples", "write samples only where the name is first used")
        } else {
            ("other samples", "write samples only where the name is first used")
        };
        let message = format!("the live text `{}` has {other} where it is first used", field.name);
        let finding = Finding::error(field.span, message).also(known.field.span, "first used here");
        findings.push(finding.hint(hint));
        return None;
    }
    let first = LiveId(context.lives.borrow().len());
    if first.0 + field.cells as usize > MOST_VALUES {
        let message = format!("live values and characters of live texts are more than {MOST_VALUES} together");
        findings.push(Finding::error(field.span, message).hint("make this text shorter"));
        return None;
    }
    for cell in 0..field.cells {
        let live = live_value(field, cell);
        let mut lives = context.lives.borrow_mut();
        if let Some(other) = lives.iter().find(|other| other.name == live.name) {
            let message =
                format!("the live value `{}` has the name of a character of the live text `{}`", live.name, field.name);
            findings.push(Finding::error(field.span, message).also(other.span, "used here").hint("use another name"));
            return None;
        }
        lives.push(live);
    }
    context.live_texts.push(SetText { field: field.clone(), first });
    Some(first)
}

/// The live value of a character: which of the text's characters it shows.
fn live_value(field: &LiveField, cell: u32) -> LiveValue {
    let key = |(seconds, text): &(f64, String)| Key {
        seconds: *seconds,
        value: f64::from(field.numbers(text)[cell as usize]),
        ease: Ease::Step,
    };
    let keys = std::iter::once(Key { seconds: 0.0, value: 0.0, ease: Ease::Step });
    let mut keys: Vec<Key> = keys.chain(field.samples.iter().map(key)).collect();
    if keys.get(1).is_some_and(|second| second.seconds == 0.0) {
        keys.remove(0);
    }
    let characters = field.characters.len();
    LiveValue {
        name: format!("{} {}", field.name, cell + 1),
        span: field.span,
        from: 0,
        to: limited(characters),
        steps: limited(characters),
        start: 0,
        samples: Track { keys, repeat: false, live: None },
    }
}
