//! A word chosen by a value.

use crate::diag::{Finding, Findings, Span};
use crate::show::read::{Context, layer, note_lacking};
use crate::show::{FontId, Position, Track};

/// A word and the value from which on it is shown.
#[derive(Clone, Debug, PartialEq)]
pub struct StatusWord {
    pub least: f64,
    pub text: String,
    pub span: Span,
}

layer! {
    /// One of several words, chosen by a value: the last word whose number the value has reached. Below the first number no word is shown.
    Status, r#"Status(value: Ramp(from: 0, to: 60, seconds: 4), words: [(0, "EMPTY"), (15, "LOW"), (35, "OK")], font: "large", at: Centre)"#, finish finish {
        /// The value that chooses. A live value is rounded to its nearest step.
        value: Track [-999_999_999.0, 999_999_999.0];
        /// The words, each with the lowest number at which it is shown. The smallest number comes first.
        words: Vec<StatusWord>;
        /// Their font.
        font: FontId;
        /// The position of each word.
        at: Position;
    }
}

impl Status {
    /// The word at a value; none below the first number.
    pub fn word(&self, value: f64) -> Option<&str> {
        /// So that a step of a live value that lies on a number by exact arithmetic counts as having reached it.
        const TOLERANCE: f64 = 1e-6;
        self.words.iter().rfind(|word| word.least <= value + TOLERANCE).map(|word| word.text.as_str())
    }
}

/// Checks that the font has the words' letters, and that each word can be shown.
fn finish(status: Status, _: Span, context: &mut Context<'_, '_>, findings: &mut Findings) -> Option<Status> {
    status.words.iter().for_each(|word| note_lacking(&word.text, status.font, word.span, context));
    if let Some(highest) = status.value.live.map(|live| live.low.max(live.high)) {
        for word in status.words.iter().filter(|word| word.least > highest) {
            let message = format!(
                "`{}` is never shown: it needs {}, but the live value is {highest} at most",
                word.text, word.least
            );
            findings.push(Finding::warning(word.span, message).hint("use a smaller number, or remove the word"));
        }
    }
    Some(status)
}
