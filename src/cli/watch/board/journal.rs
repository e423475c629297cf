//! What each page did and took back, so that its undo takes back its own steps and nobody else's.

use crate::drawing::Part;
use std::collections::BTreeMap;

/// Steps that one page can take back, and pages that are remembered.
const MOST_STEPS: usize = 2000;
const MOST_PAGES: usize = 32;

/// One step of a page: the parts of one sheet that it changed. Changes of one stroke are one step.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct JournalStep {
    pub sheet: String,
    pub stroke: u64,
    pub parts: Vec<Part>,
}

#[derive(Default)]
struct DrawingHistory {
    done: Vec<JournalStep>,
    undone: Vec<JournalStep>,
    /// When the page last did something, in steps of all pages.
    last: u64,
}

/// The steps of all pages.
#[derive(Default)]
pub struct Journal {
    pages: BTreeMap<String, DrawingHistory>,
    count: u64,
}

impl Journal {
    /// The step that an undo takes back.
    pub fn last_done(&self, page: &str) -> Option<&JournalStep> {
        self.pages.get(page)?.done.last()
    }
    /// The step that a redo does again.
    pub fn last_undone(&self, page: &str) -> Option<&JournalStep> {
        self.pages.get(page)?.undone.last()
    }

    /// Notes a step; one that changed nothing is left out.
    pub fn done(&mut self, page: &str, step: JournalStep) {
        if step.parts.is_empty() {
            return;
        }
        let history = self.history(page);
        history.undone.clear();
        match history.done.last_mut() {
            Some(last) if last.stroke == step.stroke && last.sheet == step.sheet => last.parts.extend(step.parts),
            _ => history.done.push(step),
        }
        if history.done.len() > MOST_STEPS {
            history.done.remove(0);
        }
    }

    /// Notes that the last step was taken back.
    pub fn undo(&mut self, page: &str) {
        let history = self.history(page);
        history.undone.extend(history.done.pop());
    }
    /// Notes that the last step that was taken back was done again.
    pub fn redo(&mut self, page: &str) {
        let history = self.history(page);
        history.done.extend(history.undone.pop());
    }

    fn history(&mut self, page: &str) -> &mut DrawingHistory {
        self.count += 1;
        if !self.pages.contains_key(page) && self.pages.len() >= MOST_PAGES {
            let oldest = self.pages.iter().min_by_key(|(_, history)| history.last).map(|(page, _)| page.clone());
            oldest.and_then(|oldest| self.pages.remove(&oldest));
        }
        let history = self.pages.entry(page.to_owned()).or_default();
        history.last = self.count;
        history
    }
}
