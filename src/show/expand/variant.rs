//! The note that modes leave on each scene they make: of which scene of the script it is, and in which state.

use super::field;
use crate::diag::Span;
use crate::source::{Node, Shape};

/// The entry that holds the note; the space keeps scripts from writing it.
const ENTRY: &str = "variant of";

/// What modes made of a scene of the script.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Variant {
    /// The scene's name in the script; `None` when the show has no modes.
    pub scene: Option<String>,
    /// Each mode with its value.
    pub state: Vec<(String, String)>,
}

impl Variant {
    /// What a scene's note says.
    pub fn of(node: &Node) -> Self {
        let Some(Node { shape: Shape::List(items), .. }) = field(node, ENTRY) else { return Self::default() };
        let text = |node: &Node| if let Shape::Text(text) = &node.shape { text.clone() } else { String::new() };
        let pairs = items.iter().skip(1).filter_map(|item| match item.items() {
            [mode, value] => Some((text(mode), text(value))),
            _ => None,
        });
        Self { scene: items.first().map(text), state: pairs.collect() }
    }

    /// The note as an entry of the scene's record.
    pub fn entry(&self, span: Span) -> (String, Span, Node) {
        let node = |shape| Node { span, shape };
        let text = |text: &str| node(Shape::Text(text.to_owned()));
        let pair = |(mode, value): &(String, String)| node(Shape::Tuple(None, vec![text(mode), text(value)]));
        let items = self.scene.iter().map(|scene| text(scene)).chain(self.state.iter().map(pair));
        (ENTRY.to_owned(), span, node(Shape::List(items.collect())))
    }
}
