//! Expands modes, such as day and night, and counters: each scene is made once for each state that the show can be in there, so
//! that the player needs no memory for them.
//!
//! `modes: {"light": ["day", "night"]}` names a mode and its values; the first is that at the start. `By("light", {"day": …,
//! "night": …})` is replaced by one of several values. The reaction `Set("light", "night")` changes the mode and restarts the
//! scene. `Count("knocks", Go("sleep"))` changes to the next value; after the last value it changes to the first one and goes to
//! the scene. `Back` leads to the scene that a trigger left, with the current modes: changes since then are kept.

use super::room::ScriptRoom;
use super::variant::Variant;
use super::way_back::{Ways, kept, pairs};
use super::{children, field, splice, take_field};
use crate::diag::{Finding, Findings, Span, nearest};
use crate::source::{Node, Shape, report_wrong};
use std::collections::{BTreeMap, BTreeSet, VecDeque};

/// The most scenes that modes may make of a show.
const MOST_SCENES: usize = 250;

/// A mode and its values.
struct ScriptMode {
    name: String,
    values: Vec<String>,
}

/// The place of each mode's value in its list, in the order of the modes.
type ModeState = Vec<usize>;

/// A scene by its place, the state that it is in, and the scene that its way back leads to where that must be known.
type SceneKey = (usize, ModeState, Option<usize>);

/// Multiplies the scenes by the states that can be reached.
pub fn multiply(script: &mut Node, room: &mut ScriptRoom, findings: &mut Findings) {
    let Some(node) = take_field(script, "modes") else { return };
    let Some(modes) = read_modes(&node, findings) else { return };
    let usual = pairs(script, "triggers").to_vec();
    let scenes = field(script, "scenes").map_or(Vec::new(), |node| node.items().to_vec());
    let Some(Node { shape: Shape::Text(start), .. }) = field(script, "start") else { return };
    let mut work = ModeWork::new(&modes, &usual, &scenes);
    if let Some(scene) = work.find(start) {
        work.reach(scene, vec![0; modes.len()], Some(scene));
    }
    let mut made = Vec::new();
    while let Some(key) = work.open.pop_front() {
        if work.names.len() > MOST_SCENES {
            let message = format!("the modes expand this show to more than {MOST_SCENES} scenes");
            findings
                .push(Finding::error(node.span, message).hint("use fewer values, or fewer triggers that set modes"));
            return;
        }
        if !room.take(&scenes[key.0], node.span, findings) {
            return;
        }
        made.push(work.variant(&key, findings));
    }
    // A scene that no state reaches is kept as it begins, so that it is read and checked like any other.
    work.closed = true;
    let reached: BTreeSet<usize> = work.names.keys().map(|(scene, ..)| *scene).collect();
    for number in (0..scenes.len()).filter(|number| !reached.contains(number)) {
        made.push(work.variant(&(number, vec![0; modes.len()], None), findings));
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

fn read_modes(node: &Node, findings: &mut Findings) -> Option<Vec<ScriptMode>> {
    let Shape::Map(pairs) = &node.shape else {
        report_wrong(node, "a map {\"mode\": [\"value\", …], …}", findings);
        return None;
    };
    let mut modes = Vec::new();
    for (key, value) in pairs {
        let one_line = |value: &Node| text(value).filter(|text| !text.contains(char::is_control));
        let values: Vec<String> = value.items().iter().filter_map(one_line).collect();
        match text(key) {
            Some(name) if !values.is_empty() && values.len() == value.items().len() => {
                modes.push(ScriptMode { name, values })
            }
            _ => {
                report_wrong(value, "a mode's name with the list of its values, all in quotes", findings);
                return None;
            }
        }
    }
    Some(modes)
}

/// A number of a record, 0 when it is not there.
fn number(node: &Node, name: &str) -> f64 {
    match field(node, name) {
        Some(Node { shape: Shape::Number(number), .. }) => *number,
        _ => 0.0,
    }
}

fn text(node: &Node) -> Option<String> {
    if let Shape::Text(text) = &node.shape { Some(text.clone()) } else { None }
}

struct ModeWork<'a> {
    modes: &'a [ScriptMode],
    usual: &'a [(Node, Node)],
    scenes: &'a [Node],
    /// For each scene whether its way back is known when it is made.
    kept: Vec<bool>,
    /// Scenes in states that are reached and not made yet.
    open: VecDeque<SceneKey>,
    /// What is made of each is called.
    names: BTreeMap<SceneKey, String>,
    /// Whether all that can be reached is made: what is left leads to scenes that there are.
    closed: bool,
}

impl<'a> ModeWork<'a> {
    fn new(modes: &'a [ScriptMode], usual: &'a [(Node, Node)], scenes: &'a [Node]) -> Self {
        let (open, names) = (VecDeque::new(), BTreeMap::new());
        let mut work = Self { modes, usual, scenes, kept: Vec::new(), open, names, closed: false };
        let ways = |scene: &'a Node| {
            let own = pairs(scene, "triggers");
            let priority = number(scene, "priority");
            let heard = usual.iter().filter(|(key, does)| {
                number(does, "priority") >= priority && !own.iter().any(|(known, _)| known.shape == key.shape)
            });
            let reactions = own.iter().chain(heard).map(|(_, reaction)| reaction).collect();
            Ways { reactions, then: field(scene, "then") }
        };
        work.kept = kept(&scenes.iter().map(ways).collect::<Vec<_>>(), |name| work.find(name));
        work
    }

    fn find(&self, name: &str) -> Option<usize> {
        self.scenes.iter().position(|scene| field(scene, "name").and_then(text).is_some_and(|own| own == name))
    }

    /// Notes that a scene is reached in a state, with the scene that its way back would lead to, and returns the name of
    /// what is made of it.
    fn reach(&mut self, scene: usize, state: ModeState, back: Option<usize>) -> String {
        let key = (scene, state, back.filter(|_| self.kept[scene]));
        if let Some(name) = self.names.get(&key) {
            return name.clone();
        }
        if self.closed {
            return self.made(scene, &key.1);
        }
        let name = self.free_name(&key);
        self.names.insert(key.clone(), name.clone());
        self.open.push_back(key);
        name
    }

    /// What is made of a scene in a state, or in another one if there is none in this; its own name if it is not reached.
    fn made(&self, scene: usize, state: &ModeState) -> String {
        let of_scene = || self.names.iter().filter(|((known, ..), _)| *known == scene);
        let found = of_scene().find(|((_, known, _), _)| known == state).or_else(|| of_scene().next());
        found.map_or_else(|| self.own_name(scene), |(_, name)| name.clone())
    }

    /// A name that neither the script nor anything made of it has yet.
    fn free_name(&self, (scene, state, back): &SceneKey) -> String {
        let own = self.own_name(*scene);
        let taken = |name: &String| {
            let by_script = *name != own && self.find(name).is_some();
            by_script || self.names.values().any(|known| known == name)
        };
        let plain = self.name(*scene, state);
        let from = back.map(|back| format!("{plain} from {}", self.own_name(back)));
        let numbered = (2..).map(|number: u32| format!("{plain} {number}"));
        let mut candidates = std::iter::once(plain.clone()).chain(from).chain(numbered);
        candidates.find(|name| !taken(name)).unwrap_or(plain)
    }

    fn own_name(&self, scene: usize) -> String {
        field(&self.scenes[scene], "name").and_then(text).unwrap_or_default()
    }

    /// The first state keeps the scene's name; others add in brackets the values that differ from it.
    fn name(&self, scene: usize, state: &ModeState) -> String {
        let differing = self.modes.iter().zip(state).filter(|(_, value)| **value > 0);
        let shared = |value: &String| self.modes.iter().filter(|mode| mode.values.contains(value)).count() > 1;
        let called = |(mode, value): (&ScriptMode, &usize)| {
            let value = &mode.values[*value];
            if shared(value) { format!("{} {value}", mode.name) } else { value.clone() }
        };
        let values: Vec<String> = differing.map(called).collect();
        let own = self.own_name(scene);
        if values.is_empty() { own } else { format!("{own} ({})", values.join(", ")) }
    }

    /// The scene in a state.
    fn variant(&mut self, key: &SceneKey, findings: &mut Findings) -> Node {
        let (scene, state, _) = key;
        let mut variant = self.scenes[*scene].clone();
        self.choose(&mut variant, state, findings);
        let name = self.names.get(key).cloned().unwrap_or_else(|| self.own_name(*scene));
        let values = self.modes.iter().zip(state).map(|(mode, value)| (mode.name.clone(), mode.values[*value].clone()));
        let note = Variant { scene: Some(self.own_name(*scene)), state: values.collect() };
        self.name_triggers(&mut variant);
        let span = variant.span;
        let Shape::Record(_, entries) = &mut variant.shape else { return variant };
        for (field, _, value) in entries.iter_mut() {
            match (field.as_str(), &mut value.shape) {
                ("name", Shape::Text(own)) => own.clone_from(&name),
                ("then", _) => self.lead(value, key, false, findings),
                ("triggers", Shape::Map(pairs)) => {
                    pairs.iter_mut().for_each(|(_, reaction)| self.lead(reaction, key, true, findings));
                }
                _ => {}
            }
        }
        entries.push(note.entry(span));
        variant
    }

    /// Gives a scene each usual trigger that goes to a scene or changes a mode, where it does not say otherwise itself.
    fn name_triggers(&self, scene: &mut Node) {
        let priority = number(scene, "priority");
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
            if number(reaction, "priority") >= priority && !pairs.iter().any(|(known, _)| known.shape == key.shape) {
                pairs.push((key.clone(), inner(reaction).clone()));
            }
        }
    }

    /// Makes a reaction of the script lead to the scene in the state that it means; `by_trigger` if a trigger leads there,
    /// and not the scene's end.
    fn lead(&mut self, reaction: &mut Node, key: &SceneKey, by_trigger: bool, findings: &mut Findings) {
        let span = reaction.span;
        let to = |name: String| Shape::Tuple(Some("Go".into()), vec![Node { span, shape: Shape::Text(name) }]);
        let (scene, state, back) = key;
        let items = reaction.items().to_vec();
        match (reaction.head().unwrap_or_default(), items.as_slice()) {
            ("Go", [target]) => {
                let Some(target) = text(target).and_then(|name| self.find(&name)) else { return };
                let left = if by_trigger && target != *scene { Some(*scene) } else { *back };
                reaction.shape = to(self.reach(target, state.clone(), left));
            }
            // The way back is known. It leads to that scene in the current modes.
            ("Back", []) => {
                let Some(target) = *back else { return };
                let left = if by_trigger { *scene } else { target };
                reaction.shape = to(self.reach(target, state.clone(), Some(left)));
            }
            ("Set", [mode, value]) => {
                let known = self.mode(mode, findings);
                let Some((mode, value)) = known.and_then(|mode| Some((mode, self.value(mode, value, findings)?)))
                else {
                    reaction.shape = Shape::Word("Ignore".into());
                    return;
                };
                let mut state = state.clone();
                state[mode] = value;
                reaction.shape = to(self.reach(*scene, state, *back));
            }
            ("Count", [mode, behind]) => {
                let Some(mode) = self.mode(mode, findings) else {
                    reaction.shape = Shape::Word("Ignore".into());
                    return;
                };
                let mut state = state.clone();
                state[mode] += 1;
                if state[mode] < self.modes[mode].values.len() {
                    reaction.shape = to(self.reach(*scene, state, *back));
                } else {
                    state[mode] = 0;
                    *reaction = behind.clone();
                    self.lead(reaction, &(*scene, state, *back), by_trigger, findings);
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
    fn choose(&self, node: &mut Node, state: &ModeState, findings: &mut Findings) {
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
                    let message = format!("`By` has no entry for `{value}`");
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
