//! The one maker of identifiers: a person's name in the case asked for, no keyword, no name twice.

use std::collections::BTreeSet;

/// How an identifier is written.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Case {
    /// `hull_leak`
    Snake,
    /// `HULL_LEAK`
    Capitals,
    /// `HullLeak`
    Words,
}

/// Keywords of C99 (ISO/IEC 9899:1999 §6.4.1).
const C99: &[&str] = &[
    "auto",
    "break",
    "case",
    "char",
    "const",
    "continue",
    "default",
    "do",
    "double",
    "else",
    "enum",
    "extern",
    "float",
    "for",
    "goto",
    "if",
    "inline",
    "int",
    "long",
    "register",
    "restrict",
    "return",
    "short",
    "signed",
    "sizeof",
    "static",
    "struct",
    "switch",
    "typedef",
    "union",
    "unsigned",
    "void",
    "volatile",
    "while",
    "_Bool",
    "_Complex",
    "_Imaginary",
];

/// Strict and reserved keywords of Rust (The Rust Reference, chapter Keywords, edition 2024).
const RUST: &[&str] = &[
    "as", "break", "const", "continue", "crate", "else", "enum", "extern", "false", "fn", "for", "if", "impl", "in",
    "let", "loop", "match", "mod", "move", "mut", "pub", "ref", "return", "self", "Self", "static", "struct", "super",
    "trait", "true", "type", "unsafe", "use", "where", "while", "async", "await", "dyn", "abstract", "become", "box",
    "do", "final", "macro", "override", "priv", "typeof", "unsized", "virtual", "yield", "try", "gen",
];

/// Makes the identifiers of one scope.
#[derive(Clone, Debug, Default)]
pub struct Namer {
    taken: BTreeSet<String>,
}

impl Namer {
    /// Returns an identifier for a name. If it is already used, it gets `_2`, and so on.
    pub fn name(&mut self, prefix: &str, name: &str, case: Case) -> String {
        let mut identifier = cased(&words(name), case);
        if prefix.is_empty() && identifier.starts_with(|first: char| first.is_ascii_digit()) {
            identifier.insert_str(0, if case == Case::Snake { "n" } else { "N" });
        }
        identifier.insert_str(0, prefix);
        if C99.contains(&identifier.as_str()) || RUST.contains(&identifier.as_str()) {
            identifier.push('_');
        }
        let numbered = |number: u32| format!("{identifier}_{number}");
        let free = (2..).map(numbered).find(|candidate| !self.taken.contains(candidate));
        // The numbers do not end before a free one is found, so the last alternative is never taken.
        let unique = if self.taken.contains(&identifier) { free.unwrap_or(identifier) } else { identifier };
        self.taken.insert(unique.clone());
        unique
    }
}

/// The words of a name in small letters: stretches of ASCII letters and digits, parted by anything else and before a
/// capital that follows a small letter. A name without any is `unnamed`.
fn words(name: &str) -> Vec<String> {
    let mut words = vec![String::new()];
    let mut before = ' ';
    for letter in name.chars() {
        let ends = !letter.is_ascii_alphanumeric() || letter.is_ascii_uppercase() && before.is_ascii_lowercase();
        if ends {
            words.push(String::new());
        }
        if letter.is_ascii_alphanumeric()
            && let Some(word) = words.last_mut()
        {
            word.push(letter.to_ascii_lowercase());
        }
        before = letter;
    }
    words.retain(|word| !word.is_empty());
    if words.is_empty() { vec!["unnamed".into()] } else { words }
}

fn cased(words: &[String], case: Case) -> String {
    let capital = |word: &String| {
        let (first, rest) = word.split_at(1);
        first.to_ascii_uppercase() + rest
    };
    match case {
        Case::Snake => words.join("_"),
        Case::Capitals => words.join("_").to_ascii_uppercase(),
        Case::Words => words.iter().map(capital).collect(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_become_identifiers_in_each_case() {
        let mut namer = Namer::default();
        assert_eq!(namer.name("", "Hull leak!", Case::Snake), "hull_leak");
        assert_eq!(namer.name("HELM_", "hull-leak", Case::Capitals), "HELM_HULL_LEAK");
        assert_eq!(namer.name("", "hullLeak 2b", Case::Words), "HullLeak2b");
        assert_eq!(namer.name("", "3 pumps", Case::Words), "N3Pumps");
        assert_eq!(namer.name("", "Тревога", Case::Snake), "unnamed");
    }

    #[test]
    fn keywords_and_doubles_get_a_mark() {
        let mut namer = Namer::default();
        assert_eq!(namer.name("", "int", Case::Snake), "int_");
        assert_eq!(namer.name("", "self", Case::Words), "Self_");
        assert_eq!(namer.name("", "leak", Case::Snake), "leak");
        assert_eq!(namer.name("", "Leak", Case::Snake), "leak_2");
        assert_eq!(namer.name("", "leak", Case::Snake), "leak_3");
    }

    proptest::proptest! {
        #[test]
        fn any_names_become_different_identifiers(names in proptest::collection::vec(".{0,12}", 0..20)) {
            for case in [Case::Snake, Case::Capitals, Case::Words] {
                let mut namer = Namer::default();
                let made: BTreeSet<String> = names.iter().map(|name| namer.name("", name, case)).collect();
                proptest::prop_assert_eq!(made.len(), names.len());
                for identifier in made {
                    proptest::prop_assert!(identifier.starts_with(|first: char| first.is_ascii_alphabetic()));
                    proptest::prop_assert!(identifier.chars().all(|letter| letter.is_ascii_alphanumeric() || letter == '_'));
                }
            }
        }
    }
}
