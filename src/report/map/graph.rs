//! The contents of the map: the scenes of the script, without the copies that modes make, and the transitions between them.

use crate::show::{Reaction, Scene, Show, Then, cannot_be_left, reachable};

/// A trigger that at least this many scenes have in common is drawn once, at its target scene.
const COMMON: usize = 3;

/// Between a mode and its new value.
const BECOMES: &str = " becomes ";

/// A scene of the script.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct SceneNode {
    pub title: String,
    /// Triggers that lead here from nearly everywhere.
    pub calls: Vec<String>,
    /// Further words, a line each.
    pub lines: Vec<String>,
    pub starts: bool,
    /// No way leads here from the start.
    pub unreached: bool,
    /// Nothing leads out of it.
    pub trap: bool,
}

/// A way from one scene to another.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Edge {
    pub from: usize,
    pub to: usize,
    /// What follows without a trigger, else what triggers do.
    pub follows: bool,
    pub label: String,
}

/// The scenes and ways of a show.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Graph {
    pub nodes: Vec<SceneNode>,
    pub edges: Vec<Edge>,
}

/// A trigger's way, with the modes that it changes.
#[derive(Clone, Debug, PartialEq, Eq)]
struct Transition {
    from: usize,
    to: usize,
    words: String,
}

impl Graph {
    /// The map of a show; nodes are in the order of the scenes.
    pub fn of(show: &Show) -> Self {
        let mut names: Vec<&str> = Vec::new();
        for scene in show.scenes() {
            if !names.contains(&scene.script_name.as_str()) {
                names.push(&scene.script_name);
            }
        }
        let work = GraphWork { show, names: &names };
        let mut graph = Self { nodes: (0..names.len()).map(|number| work.node(number)).collect(), edges: Vec::new() };
        for (from, scene) in show.scenes().iter().map(|scene| (work.number(scene), scene)) {
            if let Then::Scene(next) = scene.then {
                let to = work.number(&show.scenes()[next.0]);
                graph.lead(from, to, true, &format!("after {}", seconds(show, scene)));
            }
        }
        let ways = work.ways();
        let common = work.common(&ways);
        for (to, words) in &common {
            graph.nodes[*to].calls.push(work.call(*to, words, &ways));
        }
        let changes = |from: usize, trigger: &str| {
            let begins = format!("{trigger}: ");
            ways.iter().any(|way| (way.from, way.to) == (from, from) && way.words.starts_with(&begins))
        };
        for Transition { from, to, words } in &ways {
            let (from, to) = (*from, *to);
            if from == to {
                // A trigger that changes a mode restarts the scene in the other states too.
                if words.contains(BECOMES) {
                    graph.nodes[from].lines.push(words.clone());
                } else if !changes(from, words) {
                    graph.nodes[from].lines.push(format!("{words}: restarts"));
                }
            } else if !common.contains(&(to, words.clone())) {
                graph.lead(from, to, false, words);
            }
        }
        graph
    }

    /// Adds a way, or its words to a way that is there.
    fn lead(&mut self, from: usize, to: usize, follows: bool, words: &str) {
        let known = self.edges.iter_mut().find(|edge| (edge.from, edge.to, edge.follows) == (from, to, follows));
        match known {
            Some(edge) if edge.label.split(", ").any(|part| part == words) => {}
            Some(edge) => edge.label = format!("{}, {words}", edge.label),
            None => self.edges.push(Edge { from, to, follows, label: words.to_owned() }),
        }
    }
}

struct GraphWork<'a> {
    show: &'a Show,
    names: &'a [&'a str],
}

impl GraphWork<'_> {
    fn number(&self, scene: &Scene) -> usize {
        // Every scene's name was put into the list.
        self.names.iter().position(|name| *name == scene.script_name).unwrap_or(0)
    }

    fn variants(&self, number: usize) -> impl Iterator<Item = (usize, &Scene)> {
        self.show.scenes().iter().enumerate().filter(move |(_, scene)| scene.script_name == self.names[number])
    }

    fn node(&self, number: usize) -> SceneNode {
        let scenes = self.show.scenes();
        let reached = reachable(scenes, self.show.start());
        let mut variants = self.variants(number);
        let first = variants.next().map_or(0, |(first, _)| first);
        SceneNode {
            title: self.names[number].to_owned(),
            calls: Vec::new(),
            lines: self.lines(number, &scenes[first]),
            starts: self.variants(number).any(|(number, _)| number == self.show.start().0),
            unreached: self.variants(number).all(|(number, _)| !reached.contains(&number)),
            trap: self.variants(number).all(|(number, _)| cannot_be_left(scenes, number)) && self.stays(number),
        }
    }

    /// Whether no variant of a scene leads to another scene of the script.
    fn stays(&self, number: usize) -> bool {
        self.ways().iter().all(|way| way.from != number || way.to == number)
    }

    fn lines(&self, number: usize, first: &Scene) -> Vec<String> {
        let seconds = seconds(self.show, first);
        let stays = match first.then {
            Then::Hold => Some(format!("{seconds}, then hold")),
            Then::Repeat => Some(format!("repeats every {seconds}")),
            Then::Scene(_) => None,
            Then::Back => Some(format!("{seconds}, then back")),
        };
        let mut lines: Vec<String> = stays.into_iter().collect();
        let list = |word: &str, items: Vec<&String>| {
            let items: Vec<&str> = items.into_iter().map(String::as_str).collect();
            (!items.is_empty()).then(|| format!("{word} {}", items.join(", ")))
        };
        if let Some((from, _)) = first.off.first() {
            lines.push(if *from > 0.0 { format!("dark from {from} s") } else { "dark".into() });
        }
        lines.extend(self.modes(number));
        let all = |wanted: Reaction| -> Vec<&String> {
            let every = |trigger: &usize| {
                self.variants(number).all(|(_, scene)| scene.reactions.get(*trigger) == Some(&wanted))
            };
            (0..self.show.triggers().len()).filter(every).map(|trigger| &self.show.triggers()[trigger]).collect()
        };
        lines.extend(list("back on", all(Reaction::Back)));
        lines.extend(list("ignores", all(Reaction::Ignore)));
        let mut cues: Vec<&String> = Vec::new();
        for mark in &first.cues {
            let cue = &self.show.cues()[mark.cue.0];
            if !cues.contains(&cue) {
                cues.push(cue);
            }
        }
        lines.extend(list("cues", cues));
        let begun = |lamp: &&crate::show::Lamp| {
            lamp.scenes.iter().any(|scene| self.show.scenes()[scene.0].script_name == self.names[number])
        };
        lines.extend(list("lamps", self.show.lamps().iter().filter(begun).map(|lamp| &lamp.name).collect()));
        lines
    }

    /// The modes that a scene depends on, each with the values that it is drawn for.
    fn modes(&self, number: usize) -> Vec<String> {
        let variants: Vec<&Scene> = self.variants(number).map(|(_, scene)| scene).collect();
        let first = variants.first().map_or(&[][..], |scene| &scene.state);
        let values = |mode: &str| {
            let all = variants.iter().flat_map(|scene| &scene.state).filter(|(name, _)| name == mode);
            let mut values: Vec<&str> = Vec::new();
            for (_, value) in all {
                if !values.contains(&value.as_str()) {
                    values.push(value);
                }
            }
            values
        };
        let words = |(mode, _): &(String, String)| format!("one for each {mode}: {}", values(mode).join(", "));
        if variants.len() > 1 { first.iter().map(words).collect() } else { Vec::new() }
    }

    /// Every way that a trigger leads, each once.
    fn ways(&self) -> Vec<Transition> {
        let mut ways: Vec<Transition> = Vec::new();
        for scene in self.show.scenes() {
            for (trigger, reaction) in scene.reactions.iter().enumerate() {
                let Reaction::Go(target) = reaction else { continue };
                let target = &self.show.scenes()[target.0];
                let changed = target.state.iter().zip(&scene.state).filter(|(now, before)| now != before);
                let changes: Vec<String> =
                    changed.map(|((mode, value), _)| format!("{mode}{BECOMES}{value}")).collect();
                let name = &self.show.triggers()[trigger];
                let words =
                    if changes.is_empty() { name.clone() } else { format!("{name}: {}", changes.join(" and ")) };
                let way = Transition { from: self.number(scene), to: self.number(target), words };
                if !ways.contains(&way) {
                    ways.push(way);
                }
            }
        }
        ways
    }

    /// The triggers that lead to the same scene from most others.
    fn common(&self, ways: &[Transition]) -> Vec<(usize, String)> {
        let mut common: Vec<(usize, String)> = Vec::new();
        for way in ways {
            let sources =
                ways.iter().filter(|other| (other.to, &other.words) == (way.to, &way.words) && other.from != way.to);
            let count = sources.count();
            let found = (way.to, way.words.clone());
            if count >= COMMON && 2 * count >= self.names.len() - 1 && !common.contains(&found) {
                common.push(found);
            }
        }
        common
    }

    /// The words for a common trigger.
    fn call(&self, to: usize, words: &str, ways: &[Transition]) -> String {
        let leads = |from: usize| ways.iter().any(|way| (way.from, way.to) == (from, to) && way.words == words);
        let others: Vec<&str> =
            (0..self.names.len()).filter(|from| *from != to && !leads(*from)).map(|from| self.names[from]).collect();
        if others.is_empty() {
            format!("{words}, from anywhere")
        } else {
            format!("{words}, except from {}", others.join(", "))
        }
    }
}

fn seconds(show: &Show, scene: &Scene) -> String {
    let seconds = show.frame_rate().seconds_at(scene.frames.0);
    format!("{} s", (seconds * 10.0).round() / 10.0)
}
