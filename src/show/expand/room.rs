//! The limits of expansion: one budget of values for everything that is inserted, and a limit of nesting, so that no script grows
//! without end.

use super::fields;
use crate::diag::{Finding, Findings, Span};
use crate::source::{Node, Shape};

/// Values that includes, templates, styles, likenesses and modes may put in place, all together: 250 scenes of 1,000 values.
const MOST_VALUES: usize = 250_000;
/// Brackets within brackets of the script as it is read; people write some 20.
const DEEPEST: usize = 64;

/// What is left of the budget.
pub struct ScriptRoom {
    left: usize,
    /// Whether something did not fit, which is reported; the script is not read any further then.
    pub spent: bool,
}

impl ScriptRoom {
    /// The whole budget.
    pub fn new() -> Self {
        Self { left: MOST_VALUES, spent: false }
    }

    /// Takes the room for one more copy of a value. `false` when it does not fit; the first time this is reported at `place`.
    pub fn take(&mut self, value: &Node, place: Span, findings: &mut Findings) -> bool {
        if !self.spent && self.count(value) {
            return true;
        }
        if !self.spent {
            let message = format!("includes, templates and modes expand the script beyond {MOST_VALUES} values");
            let hint = "use fewer nested templates, styles or modes";
            findings.push(Finding::error(place, message).hint(hint));
        }
        self.spent = true;
        false
    }

    /// Counts a value and all within it; `false` once the budget is used up.
    fn count(&mut self, value: &Node) -> bool {
        if self.left == 0 {
            return false;
        }
        self.left -= 1;
        match &value.shape {
            Shape::List(items) | Shape::Tuple(_, items) => items.iter().all(|item| self.count(item)),
            Shape::Map(pairs) => pairs.iter().all(|(key, value)| self.count(key) && self.count(value)),
            Shape::Record(..) => fields(value).iter().all(|(.., value)| self.count(value)),
            Shape::Flag(_) | Shape::Number(_) | Shape::Text(_) | Shape::Letter(_) | Shape::Word(_) => true,
        }
    }

    /// Returns whether the script does not nest too deeply. If it does, reports the place.
    pub fn holds(&mut self, script: &Node, findings: &mut Findings) -> bool {
        if !self.spent
            && let Some(span) = too_deep(script, 0)
        {
            let message = format!("values are nested more than {DEEPEST} levels deep here");
            findings.push(Finding::error(span, message).hint("use fewer nested includes, templates or styles"));
            self.spent = true;
        }
        !self.spent
    }
}

/// The first value that lies too deep.
fn too_deep(node: &Node, depth: usize) -> Option<Span> {
    if depth > DEEPEST {
        return Some(node.span);
    }
    match &node.shape {
        Shape::List(items) | Shape::Tuple(_, items) => items.iter().find_map(|item| too_deep(item, depth + 1)),
        Shape::Map(pairs) => pairs.iter().find_map(|(_, value)| too_deep(value, depth + 1)),
        Shape::Record(..) => fields(node).iter().find_map(|(.., value)| too_deep(value, depth + 1)),
        Shape::Flag(_) | Shape::Number(_) | Shape::Text(_) | Shape::Letter(_) | Shape::Word(_) => None,
    }
}
