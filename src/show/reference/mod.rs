//! The reference: every construct of scripts, font files and event lists, with its fields. A test compares it with the readers. The
//! manual and `help-on` print it.

mod files;
mod hardware;
mod numbers;
mod scene;
mod script;
mod words;

use super::{COMMON, FieldRow, KINDS, Kind};

/// One field of a construct.
#[derive(Clone, Copy, Debug)]
struct Entry {
    name: &'static str,
    /// What is written there.
    form: &'static str,
    meaning: &'static str,
    range: Option<(f64, f64)>,
    /// What counts when the field is left out; `None` when it is required.
    default: Option<&'static str>,
}

/// A field that is required.
const fn required(name: &'static str, form: &'static str, meaning: &'static str) -> Entry {
    Entry { name, form, meaning, range: None, default: None }
}

/// A field with a default.
const fn optional(name: &'static str, form: &'static str, default: &'static str, meaning: &'static str) -> Entry {
    Entry { name, form, meaning, range: None, default: Some(default) }
}

impl Entry {
    /// The same with the lowest and the highest number.
    const fn range(self, lowest: f64, highest: f64) -> Self {
        Self { range: Some((lowest, highest)), ..self }
    }
}

/// A construct as its table says it.
struct Construct {
    name: &'static str,
    about: &'static str,
    example: &'static str,
    fields: &'static [Entry],
}

/// A construct as it is printed.
#[derive(Clone, Debug, PartialEq)]
pub struct Construction {
    /// Its name in a script.
    pub name: &'static str,
    /// What it is for, in a sentence or two.
    pub about: &'static str,
    /// A stretch of a script that uses it.
    pub example: &'static str,
    /// Its fields in the order of printing; none if the values in its brackets have no names.
    pub fields: Vec<FieldRow>,
}

impl From<&Construct> for Construction {
    fn from(construct: &Construct) -> Self {
        let row = |entry: &Entry| FieldRow {
            name: entry.name,
            form: entry.form,
            meaning: entry.meaning,
            range: entry.range,
            usual: entry.default.map(str::to_owned),
        };
        let fields = construct.fields.iter().map(row).collect();
        Self { name: construct.name, about: construct.about, example: construct.example, fields }
    }
}

impl From<&Kind> for Construction {
    fn from(kind: &Kind) -> Self {
        let own = (kind.rows)();
        let taken: Vec<&str> = own.iter().map(|row| row.name).collect();
        let common = COMMON.iter().filter(|(name, ..)| !taken.contains(name));
        let common = common.map(|(name, form, meaning, default)| FieldRow {
            name,
            form,
            meaning,
            range: None,
            usual: Some((*default).to_owned()),
        });
        let fields = own.into_iter().chain(common).collect();
        Self { name: kind.name, about: kind.about.trim(), example: kind.example, fields }
    }
}

const TABLES: &[&[Construct]] =
    &[script::TABLE, words::TABLE, hardware::TABLE, scene::TABLE, numbers::TABLE, files::TABLE];

/// Every construct except the layers, from the whole to its parts.
pub fn constructions() -> Vec<Construction> {
    TABLES.iter().flat_map(|table| table.iter()).map(Construction::from).collect()
}

/// The construct of this name, layers among them.
pub fn construction(name: &str) -> Option<Construction> {
    let of_table = constructions().into_iter().find(|known| known.name == name);
    of_table.or_else(|| KINDS.iter().find(|kind| kind.name == name).map(Construction::from))
}

/// The names of all constructs, layers last.
pub fn construction_names() -> Vec<&'static str> {
    let of_tables = TABLES.iter().flat_map(|table| table.iter()).map(|construct| construct.name);
    of_tables.chain(KINDS.iter().map(|kind| kind.name)).collect()
}
