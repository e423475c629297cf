//! Reading words by value: `words: [(0, "EMPTY"), (10, "LOW"), (30, "OK")]`.

use super::{Context, FieldSlot, Numeric, ReadField};
use crate::diag::{Finding, Findings};
use crate::show::StatusWord;
use crate::source::{FromNode, Node, Placed, Shape, report_wrong};

/// The most words of one layer. Our own choice.
const MOST_WORDS: usize = 32;
/// The longest of them.
const LONGEST_WORD: usize = 100;
/// Numbers from which on words are shown.
const NUMBERS: (f64, f64) = (-999_999_999.0, 999_999_999.0);

impl ReadField for Vec<StatusWord> {
    const FORM: &'static str = "a list of numbers and words: `[(0, \"LOW\"), (30, \"OK\")]`";
    /// It has none.
    type Usual = std::convert::Infallible;

    fn read(node: &Node, slot: &FieldSlot, context: &mut Context<'_, '_>, findings: &mut Findings) -> Option<Self> {
        let Shape::List(items) = &node.shape else {
            report_wrong(node, "a list of numbers and words [(0, \"LOW\"), (30, \"OK\")]", findings);
            return None;
        };
        if items.is_empty() || items.len() > MOST_WORDS {
            let message = format!("`{}` needs 1 to {MOST_WORDS} words, not {}", slot.name, items.len());
            findings.push(Finding::error(node.span, message).hint("for example `[(0, \"LOW\"), (30, \"OK\")]`"));
            return None;
        }
        let read: Vec<_> = items.iter().map(|item| read_word(item, context, findings)).collect();
        let words: Vec<StatusWord> = read.into_iter().collect::<Option<_>>()?;
        if let Some(pair) = words.windows(2).find(|pair| pair[1].least <= pair[0].least) {
            let message =
                format!("the numbers of words must increase, but {} follows {}", pair[1].least, pair[0].least);
            findings.push(Finding::error(pair[1].span, message).hint("write the word of the smallest number first"));
            return None;
        }
        Some(words)
    }
    fn usual(value: Self::Usual) -> Self {
        match value {}
    }
}

fn read_word(node: &Node, context: &Context<'_, '_>, findings: &mut Findings) -> Option<StatusWord> {
    let (None, [least, text]) = (node.head(), node.items()) else {
        report_wrong(node, "a number and a word (30, \"OK\")", findings);
        return None;
    };
    let least = Numeric::plain("words", NUMBERS.0, NUMBERS.1).read(least, context, findings);
    let text = Placed::<String>::from_node(text, findings)?;
    let length = text.value.chars().count();
    if length > LONGEST_WORD {
        let message = format!("this word has {length} characters; the limit is {LONGEST_WORD}");
        findings.push(Finding::error(text.span, message).hint("use a shorter word"));
        return None;
    }
    Some(StatusWord { least: least?, text: text.value, span: node.span })
}
