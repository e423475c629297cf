//! The names of one kind that a script declares, and the search for one of them.

use crate::diag::{Finding, Findings, Span, nearest};
use crate::source::Placed;

/// Names of one kind, such as scenes, in order of declaration.
#[derive(Clone, Debug)]
pub struct Names {
    kind: &'static str,
    list: Vec<Placed<String>>,
    /// Whether something that is reported elsewhere has no usable name, so that an unknown name may be its name.
    incomplete: bool,
}

impl Names {
    /// No names yet of what messages call `kind`.
    pub fn new(kind: &'static str) -> Self {
        Self { kind, list: Vec::new(), incomplete: false }
    }

    /// Adds a name and returns its place in the list; a doubled or empty name is reported.
    pub fn declare(&mut self, name: Placed<String>, findings: &mut Findings) -> usize {
        let kind = self.kind;
        if name.value.trim().is_empty() {
            let finding = Finding::error(name.span, format!("a {kind} needs a name"));
            findings.push(finding.hint("write a name between the quotes"));
        } else if name.value.contains(char::is_control) {
            let finding = Finding::error(name.span, format!("the name of a {kind} cannot contain line breaks or tabs"));
            findings.push(finding.hint("write it in one line"));
        } else if let Some(first) = self.list.iter().find(|known| known.value == name.value) {
            let message = format!("there are two {kind}s named `{}`", name.value);
            let finding = Finding::error(name.span, message).also(first.span, "first named here");
            findings.push(finding.hint("give one of them another name"));
        }
        self.list.push(name);
        self.list.len() - 1
    }

    /// Keeps a place in the list for what has no usable name; its own reading reports that.
    pub fn declare_unnamed(&mut self, span: Span) {
        self.list.push(Placed { value: String::new(), span });
        self.incomplete = true;
    }

    /// Returns the index of a name. An unknown name is reported with the nearest known one. If a declared name is missing, nothing
    /// is reported, because the unknown name may be that one, and its absence is already reported.
    pub fn find(&self, name: &Placed<String>, findings: &mut Findings) -> Option<usize> {
        let found = self.list.iter().position(|known| known.value == name.value);
        if found.is_none() && !self.incomplete && !findings.full() {
            findings.push(self.unknown(name));
        }
        found
    }

    fn unknown(&self, name: &Placed<String>) -> Finding {
        let kind = self.kind;
        let finding = Finding::error(name.span, format!("there is no {kind} named `{}`", name.value));
        // Names that modes made of one name share its place; the first is the one that was written. Known parts have no place.
        let mut places = std::collections::BTreeSet::new();
        let written = self.list.iter().filter(|known| known.span == name.span || places.insert(known.span));
        let known: Vec<&str> = written.map(|known| known.value.as_str()).collect();
        match nearest(&name.value, known.iter().copied()) {
            Some(near) => finding.hint(format!("did you mean `{near}`?")),
            None if known.is_empty() => finding.hint(format!("the show declares no {kind}s")),
            None if known.iter().any(|known| contains(known, &name.value)) => {
                let alike: Vec<&str> = known.into_iter().filter(|known| contains(known, &name.value)).collect();
                finding.hint(format!("did you mean one of {}?", alike.join(", ")))
            }
            None => finding.hint(format!("the {kind}s are: {}", known.join(", "))),
        }
    }

    /// Every name with its place in the script, in order of declaration.
    pub fn iter(&self) -> impl ExactSizeIterator<Item = &Placed<String>> {
        self.list.iter()
    }

    /// The names alone.
    pub fn into_values(self) -> Vec<String> {
        self.list.into_iter().map(|name| name.value).collect()
    }
}

/// Whether a name contains what was asked for, in small or capital letters.
fn contains(name: &str, asked: &str) -> bool {
    !asked.is_empty() && name.to_lowercase().contains(&asked.to_lowercase())
}
