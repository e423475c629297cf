//! Modes, such as day and night, and counters: each scene is made once for each state that the show can be in there, so that
//! the player needs no memory of its own for them.
//!
//! `modes: {"light": ["day", "night"]}` names a mode and its values, the first one to begin with. `By("light", {"day": …,
//! "night": …})` stands for one of several values; the reaction `Set("light", "night")` changes the mode and begins the scene
//! anew; `Count("knocks", Go("sleep"))` goes on to the next value and, behind the last, back to the first and to the scene.

use super::{children, field, splice, take_field};
use crate::diag::{Finding, Findings, Span, nearest};
use crate::source::{Node, Shape, report_wrong};
use std::collections::{BTreeMap, VecDeque};

/// The most scenes that modes may make of a show.
const MOST_SCENES: usize = 250;

/// A mode and its values.
struct Mode {
    name: String,
    values: Vec<String>,
}

/// The place of each mode's value in its list, in the order of the modes.
type State = Vec<usize>;

/// Multiplies the scenes by the states that can be reached.
pub fn multiply(script: &mut Node, findings: &mut Findings) {
    let Some(node) = take_field(script, "modes") else { return };
    let Some(modes) = read_modes(&node, findings) else { return };
    let usual: Vec<(Node, Node)> = match field(script, "triggers") {
        Some(Node { shape: Shape::Map(pairs), .. }) => pairs.clone(),
        _ => Vec::new(),
    };
    let scenes = field(script, "scenes").map_or(Vec::new(), |node| node.items().to_vec());
    let Some(Node { shape: Shape::Text(start), .. }) = field(script, "start") else { return };
    let mut work = Work { modes: &modes, usual: &usual, scenes: &scenes, open: VecDeque::new(), seen: BTreeMap::new() };
    work.reach(start, vec![0; modes.len()]);
    let mut made = Vec::new();
    while let Some((scene, state)) = work.open.pop_front() {
        if made.len() >= MOST_SCENES {
            let message = format!("the modes make more than {MOST_SCENES} scenes of this show");
            findings.push(Finding::error(node.span, message).hint("use fewer values, or fewer triggers that set them"));
            return;
        }
        made.push(work.variant(&scenes[scene], &state, findings));
    }
    // A scene that no state reaches is kept as it begins, so that it is read and told about like any other.
    for (number, scene) in scenes.iter().enumerate() {
        if !work.seen.keys().any(|(known, _)| *known == number) {
            made.push(work.variant(scene, &vec![0; modes.len()], findings));
        }
    }
    replace(script, made, usual);
}

fn replace(script: &mut Node, made: Vec<Node>, usual: Vec<(Node, Node)>) {
    let Shape::Record(_, entries) = &mut script.shape else { return };
    for (name, _, value) in entries {
        match (name.as_str(), &mut value.shape) {
            ("scenes", Shape::List(items)) => *items = made.clone(),
            // Every scene says for itself what a trigger does, as that depends on the state.
            ("triggers", Shape::Map(pairs)) => {
                let ignored = |span| Node { span, shape: Shape::Word("Ignore".into()) };
                let kept = |does: &Node| if changes(does) { ignored(does.span) } else { does.clone() };
                *pairs = usual.iter().map(|(key, does)| (key.clone(), kept(does))).collect();
            }
            _ => {}
        }
    }
}

/// Whether a reaction changes a mode.
fn changes(reaction: &Node) -> bool {
    matches!(inner(reaction).head(), Some("Set" | "Count"))
}

/// The reaction within `Trigger(does: …)`, or the node itself.
fn inner(node: &Node) -> &Node {
    if node.head() == Some("Trigger") { field(node, "does").unwrap_or(node) } else { node }
}

fn read_modes(node: &Node, findings: &mut Findings) -> Option<Vec<Mode>> {
    let Shape::Map(pairs) = &node.shape else {
        report_wrong(node, "a map {\"mode\": [\"value\", …], …}", findings);
        return None;
    };
    let mut modes = Vec::new();
    for (key, value) in pairs {
        let values: Vec<String> = value.items().iter().filter_map(text).collect();
        match text(key) {
            Some(name) if !values.is_empty() && values.len() == value.items().len() => {
                modes.push(Mode { name, values })
            }
            _ => {
                report_wrong(value, "a mode's name with the list of its values, all in quotes", findings);
                return None;
            }
        }
    }
    Some(modes)
}

fn text(node: &Node) -> Option<String> {
    if let Shape::Text(text) = &node.shape { Some(text.clone()) } else { None }
}

struct Work<'a> {
    modes: &'a [Mode],
    usual: &'a [(Node, Node)],
    scenes: &'a [Node],
    /// Scenes in states that are reached and not made yet.
    open: VecDeque<(usize, State)>,
    seen: BTreeMap<(usize, State), ()>,
}

impl Work<'_> {
    /// Notes that a scene is reached in a state, and returns the name of what is made of it; an unknown scene keeps its name.
    fn reach(&mut self, name: &str, state: State) -> String {
        let named = |scene: &Node| field(scene, "name").and_then(text).is_some_and(|own| own == name);
        let Some(scene) = self.scenes.iter().position(named) else { return name.to_owned() };
        if self.seen.insert((scene, state.clone()), ()).is_none() {
            self.open.push_back((scene, state.clone()));
        }
        self.name(name, &state)
    }

    /// The first state keeps the scene's name; others add the values that differ from it.
    fn name(&self, name: &str, state: &State) -> String {
        let differing = self.modes.iter().zip(state).filter(|(_, value)| **value > 0);
        differing.fold(name.to_owned(), |name, (mode, value)| format!("{name} {}", mode.values[*value]))
    }

    /// The scene in a state.
    fn variant(&mut self, scene: &Node, state: &State, findings: &mut Findings) -> Node {
        let mut variant = scene.clone();
        self.choose(&mut variant, state, findings);
        let own = field(scene, "name").and_then(text).unwrap_or_default();
        self.name_triggers(&mut variant);
        let Shape::Record(_, entries) = &mut variant.shape else { return variant };
        for (field, _, value) in entries {
            match (field.as_str(), &mut value.shape) {
                ("name", Shape::Text(name)) => *name = self.name(&own, state),
                ("then", _) => self.lead(value, &own, state, findings),
                ("triggers", Shape::Map(pairs)) => {
                    pairs.iter_mut().for_each(|(_, reaction)| self.lead(reaction, &own, state, findings));
                }
                _ => {}
            }
        }
        variant
    }

    /// Gives a scene each usual trigger that goes to a scene or changes a mode, where it does not say otherwise itself.
    fn name_triggers(&self, scene: &mut Node) {
        let priority = match field(scene, "priority") {
            Some(Node { shape: Shape::Number(number), .. }) => *number,
            _ => 0.0,
        };
        let span = scene.span;
        let Shape::Record(_, entries) = &mut scene.shape else { return };
        if !entries.iter().any(|(field, ..)| field == "triggers") {
            entries.push(("triggers".into(), span, Node { span, shape: Shape::Map(Vec::new()) }));
        }
        let Some((.., Node { shape: Shape::Map(pairs), .. })) =
            entries.iter_mut().find(|(field, ..)| field == "triggers")
        else {
            return;
        };
        for (key, reaction) in self.usual {
            let own = match field(reaction, "priority") {
                Some(Node { shape: Shape::Number(number), .. }) => *number,
                _ => 0.0,
            };
            if own >= priority && !pairs.iter().any(|(known, _)| known.shape == key.shape) {
                pairs.push((key.clone(), inner(reaction).clone()));
            }
        }
    }

    /// Makes a reaction of the script lead to the scene in the state that it means.
    fn lead(&mut self, reaction: &mut Node, own: &str, state: &State, findings: &mut Findings) {
        let span = reaction.span;
        let to = |name: String| Shape::Tuple(Some("Go".into()), vec![Node { span, shape: Shape::Text(name) }]);
        let (head, items) = match &reaction.shape {
            Shape::Tuple(Some(head), items) => (head.as_str(), items.clone()),
            _ => return,
        };
        match (head, items.as_slice()) {
            ("Go", [target]) => {
                if let Some(name) = text(target) {
                    reaction.shape = to(self.reach(&name, state.clone()));
                }
            }
            ("Set", [mode, value]) => {
                let Some(mode) = self.mode(mode, findings) else { return };
                let Some(value) = self.value(mode, value, findings) else { return };
                let mut state = state.clone();
                state[mode] = value;
                reaction.shape = to(self.reach(own, state));
            }
            ("Count", [mode, behind]) => {
                let Some(mode) = self.mode(mode, findings) else { return };
                let mut state = state.clone();
                state[mode] += 1;
                if state[mode] < self.modes[mode].values.len() {
                    reaction.shape = to(self.reach(own, state));
                } else {
                    state[mode] = 0;
                    *reaction = behind.clone();
                    self.lead(reaction, own, &state, findings);
                }
            }
            _ => {}
        }
    }

    fn mode(&self, node: &Node, findings: &mut Findings) -> Option<usize> {
        let name = text(node).unwrap_or_default();
        let names: Vec<&str> = self.modes.iter().map(|mode| mode.name.as_str()).collect();
        found(&name, &names, "mode", node.span, findings)
    }

    fn value(&self, mode: usize, node: &Node, findings: &mut Findings) -> Option<usize> {
        let name = text(node).unwrap_or_default();
        let values: Vec<&str> = self.modes[mode].values.iter().map(String::as_str).collect();
        found(&name, &values, "value of this mode", node.span, findings)
    }

    /// Puts the value of the state in the place of each `By("mode", {…})`; in a list, a list's items one by one.
    fn choose(&self, node: &mut Node, state: &State, findings: &mut Findings) {
        if let Shape::Tuple(Some(head), items) = &node.shape
            && head == "By"
            && let [mode, Node { shape: Shape::Map(pairs), .. }] = items.as_slice()
        {
            let Some(mode) = self.mode(mode, findings) else { return };
            let value = &self.modes[mode].values[state[mode]];
            let chosen = pairs.iter().find(|(key, _)| text(key).as_ref() == Some(value));
            match chosen {
                Some((_, chosen)) => {
                    *node = chosen.clone();
                    self.choose(node, state, findings);
                }
                None => {
                    let message = format!("nothing is said here for `{value}`");
                    findings.push(Finding::error(node.span, message).hint(format!("add `{value:?}: …`")));
                }
            }
            return;
        }
        let by: Vec<bool> = node.items().iter().map(|item| item.head() == Some("By")).collect();
        for child in children(node) {
            self.choose(child, state, findings);
        }
        splice(node, &by);
    }
}

fn found(name: &str, known: &[&str], kind: &str, span: Span, findings: &mut Findings) -> Option<usize> {
    let at = known.iter().position(|known| *known == name);
    if at.is_none() {
        let finding = Finding::error(span, format!("there is no {kind} `{name}`"));
        findings.push(match nearest(name, known.iter().copied()) {
            Some(near) => finding.hint(format!("did you mean `{near}`?")),
            None => finding.hint(format!("there are: {}", known.join(", "))),
        });
    }
    at
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_reaction_within_a_trigger_is_found() {
        let span = Span { file: crate::diag::Sources::default().add("t", ""), start: 0, end: 0 };
        let set = Node { span, shape: Shape::Tuple(Some("Set".into()), Vec::new()) };
        let entries = vec![("does".to_owned(), span, set.clone())];
        let trigger = Node { span, shape: Shape::Record(Some("Trigger".into()), entries) };
        assert!(changes(&trigger) && changes(&set));
    }
}
