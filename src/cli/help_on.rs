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
    /// A name from a script, such as Scene, Sweep or frame_rate; without it, all names are listed
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
            return Some(Made::words(wrapped(&uses.join("\n"), columns(), HANG)));
        }
        let finding = Finding::error(Place::Nowhere, format!("nothing in a script is named `{asked}`"));
        session.findings.push(match nearest(asked, names()) {
            Some(near) => finding.hint(format!("did you mean `{near}`?")),
            None => finding.hint("`pageloom help-on` lists all names"),
        });
        None
    }
}

/// The fields and the example of a construct, at most `columns` wide.
fn page(construction: &Construction, columns: usize) -> String {
    let Construction { name, about, example, fields } = construction;
    let width = fields.iter().map(|row| row.name.len()).max().unwrap_or(0);
    let rows: String = fields.iter().map(|row| field(row, width, columns)).collect();
    let about = wrapped(&format!("{name}: {about}"), columns, 0);
    let rows = if rows.is_empty() { rows } else { format!("{rows}\n") };
    format!("{about}\n\n{rows}Example:\n  {example}")
}

/// Indentation of continued lines.
const HANG: usize = 4;

/// Constructs that are listed by name in a line; of more, the first ones are named and the others counted.
const MOST_OWNERS: usize = 4;

/// All names that can be asked for: constructs and fields.
fn names() -> Vec<&'static str> {
    let fields = construction_names().into_iter().filter_map(construction).flat_map(|known| known.fields);
    let fields: Vec<&str> = fields.map(|row| row.name).collect();
    construction_names().into_iter().chain(fields).collect()
}

/// What a word is that names no construct: the fields of this name, else the fields of which it is a value.
fn uses(word: &str) -> Vec<String> {
    let rows = || {
        let all = construction_names().into_iter().filter_map(construction);
        all.flat_map(|construct| construct.fields.into_iter().map(move |row| (construct.name, row)))
    };
    let named = |text: &str| text.split(|letter: char| !letter.is_alphanumeric()).any(|part| part == word);
    let fields = rows()
        .filter(|(_, row)| row.name == word)
        .map(|(owner, row)| (format!("{}. {}", value(&row), row.meaning), owner));
    let fields = with_owners(fields, |owners| format!("{word} of {owners}"));
    if !fields.is_empty() || !word.starts_with(char::is_uppercase) {
        return fields;
    }
    let values = rows().filter(|(_, row)| named(row.form)).map(|(owner, row)| (row.name, plain(row.form), owner));
    let values = values.map(|(field, form, owner)| (format!("{field}: {form}"), owner));
    let about = construction_names().into_iter().filter_map(construction).filter(|construct| named(construct.about));
    let about = about.map(|construct| format!("{word} is explained in {}: {}", construct.name, construct.about));
    with_owners(values, |owners| format!("{word} is a value in {owners}")).into_iter().chain(about).collect()
}

/// Equal descriptions once, each with the constructs that it belongs to.
fn with_owners(described: impl Iterator<Item = (String, &'static str)>, title: impl Fn(&str) -> String) -> Vec<String> {
    let mut groups: Vec<(String, Vec<&str>)> = Vec::new();
    for (text, owner) in described {
        match groups.iter_mut().find(|(known, _)| *known == text) {
            Some((_, owners)) => owners.push(owner),
            None => groups.push((text, vec![owner])),
        }
    }
    groups.iter().map(|(text, owners)| format!("{}: {text}", title(&listed(owners)))).collect()
}

/// Constructs in a line.
fn listed(owners: &[&str]) -> String {
    if owners.len() <= MOST_OWNERS {
        return owners.join(", ");
    }
    format!("{} and {} others", owners[..MOST_OWNERS - 1].join(", "), owners.len() + 1 - MOST_OWNERS)
}

/// Spaces before a field's name, and behind it.
const INDENT: usize = 2;

fn field(row: &FieldRow, width: usize, columns: usize) -> String {
    let hang = INDENT + width + INDENT;
    let text = format!("  {:width$}  {}\n  {:width$}  {}", row.name, value(row), "", row.meaning);
    format!("{}\n", wrapped(&text, columns, hang))
}

/// What is written in a field, its range, and its default.
fn value(row: &FieldRow) -> String {
    let range = row.range.map_or(String::new(), |(lowest, highest)| format!(", from {lowest} to {highest}"));
    let default = row.usual.as_ref().map_or("required".to_owned(), |usual| format!("default: {usual}"));
    format!("{}{range}; {default}", plain(row.form))
}

/// A text without the marks of code.
fn plain(text: &str) -> String {
    text.replace('`', "")
}
