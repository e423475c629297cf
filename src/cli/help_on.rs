//! `help-on`: what a word of a script, a font file or an event list means, and its fields.

use super::Session;
use super::made::Made;
use super::terminal::columns;
use crate::diag::{Checked, Finding, Place, nearest, wrapped};
use crate::show::{Construction, FieldRow, construction, construction_names};
use clap::Args;

/// Which word.
#[derive(Debug, Args)]
pub struct HelpOn {
    /// A name from a script, such as Scene or Sweep; without it, all names are listed
    name: Option<String>,
}

impl HelpOn {
    /// Runs the command.
    pub fn run(&self, session: &mut Session<'_>) -> Checked<Made> {
        let Some(asked) = &self.name else {
            let words = construction_names().join(", ");
            return Some(Made::words(format!("Usage: pageloom help-on NAME\nNames:\n{words}")));
        };
        let known = construction_names().into_iter().find(|name| name.eq_ignore_ascii_case(asked));
        if let Some(found) = known.and_then(construction) {
            return Some(Made::words(page(&found, columns())));
        }
        let uses = uses(asked);
        if !uses.is_empty() {
            return Some(Made::words(wrapped(
                &format!("{asked} is a value of:\n{}", uses.join("\n")),
                columns(),
                HANG,
            )));
        }
        let finding = Finding::error(Place::Nowhere, format!("nothing in a script is named `{asked}`"));
        session.findings.push(match nearest(asked, construction_names()) {
            Some(near) => finding.hint(format!("did you mean `{near}`?")),
            None => finding.hint("`pageloom help-on` lists all names"),
        });
        None
    }
}

/// A construct's fields and example for a terminal with so many columns.
fn page(construction: &Construction, columns: usize) -> String {
    let Construction { name, about, example, fields } = construction;
    let width = fields.iter().map(|row| row.name.len()).max().unwrap_or(0);
    let rows: String = fields.iter().map(|row| field(row, width, columns)).collect();
    let about = wrapped(&format!("{name}: {about}"), columns, 0);
    let rows = if rows.is_empty() { rows } else { format!("{rows}\n") };
    format!("{about}\n\n{rows}Example:\n  {example}")
}

/// How far in a line goes on that is longer than the terminal is wide.
const HANG: usize = 4;

/// The fields in which a word can stand, and the constructs that explain it.
fn uses(word: &str) -> Vec<String> {
    let named = |text: &str| text.split(|letter: char| !letter.is_alphanumeric()).any(|part| part == word);
    let of = |construct: Construction| {
        let rows = construct.fields.iter().filter(|row| named(row.form));
        let rows = rows.map(|row| format!("  {} of {}: {}", row.name, construct.name, row.form.replace('`', "")));
        let about = named(construct.about).then(|| format!("  {}: {}", construct.name, construct.about));
        rows.chain(about).collect::<Vec<_>>()
    };
    construction_names().into_iter().filter_map(construction).flat_map(of).collect()
}

/// Spaces before a field's name, and behind it.
const INDENT: usize = 2;

fn field(row: &FieldRow, width: usize, columns: usize) -> String {
    let range = row.range.map_or(String::new(), |(lowest, highest)| format!(", from {lowest} to {highest}"));
    let default = row.usual.as_ref().map_or("required".to_owned(), |usual| format!("default: {usual}"));
    let form = row.form.replace('`', "");
    let hang = INDENT + width + INDENT;
    let text = format!("  {:width$}  {form}{range}; {default}\n  {:width$}  {}", row.name, "", row.meaning);
    format!("{}\n", wrapped(&text, columns, hang))
}
