//! One row of cells in a font's description: a text with a character for each cell, or a list of characters and names.

use super::symbol::Symbol;
use crate::diag::{Finding, Findings, Span};
use crate::source::{FromNode, Node, Shape};

/// The contents of the cells in one row of the sheet, from the left; `None` for an unused cell.
#[derive(Clone, Debug, PartialEq)]
pub struct CellRow {
    pub span: Span,
    pub cells: Vec<(Option<Symbol>, Span)>,
}

/// `"AB C"`: a cell for each character, a space for an unused cell. `["A", "anchor", ""]`: names too.
impl FromNode for CellRow {
    fn from_node(node: &Node, findings: &mut Findings) -> Option<Self> {
        let cells = match &node.shape {
            Shape::Text(text) => text.chars().map(|letter| (used(letter), node.span)).collect(),
            Shape::List(items) => {
                let read: Vec<Option<_>> = items.iter().map(|item| entry(item, findings)).collect();
                read.into_iter().collect::<Option<Vec<_>>>()?
            }
            _ => {
                let message = format!("a row of cells should be a text or a list of texts, not {}", node.kind());
                findings.push(Finding::error(node.span, message).hint("write \"ABC\" or [\"A\", \"anchor\"]"));
                return None;
            }
        };
        Some(CellRow { span: node.span, cells })
    }
}

fn used(letter: char) -> Option<Symbol> {
    (letter != ' ').then_some(Symbol::Char(letter))
}

fn entry(node: &Node, findings: &mut Findings) -> Option<(Option<Symbol>, Span)> {
    let text = String::from_node(node, findings)?;
    if text.is_empty() || text == " " {
        return Some((None, node.span));
    }
    match Symbol::from_entry(&text) {
        Some(symbol) => Some((Some(symbol), node.span)),
        None => {
            let message = format!("`{text}` is neither one character nor a name");
            let hint = "a name has two or more of a–z, 0–9 and -, and begins with a letter";
            findings.push(Finding::error(node.span, message).hint(hint));
            None
        }
    }
}
