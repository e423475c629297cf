//! Which scenes must be made once for each scene that they may go back to: where a mode may have changed since, the player's
//! own way back would lead to the state of before.

use super::{children, field};
use crate::source::{Node, Shape};

/// What matters of a scene: its reactions, the usual ones among them, and what follows it.
pub struct Ways<'a> {
    pub reactions: Vec<&'a Node>,
    pub then: Option<&'a Node>,
}

/// For each scene whether its way back must be known when the scene is made. `named` finds a scene by its name.
///
/// That is so where `Back` may come before the next trigger, and a trigger enters the scene, or one that it follows without
/// a trigger, with a mode changed.
pub fn kept(scenes: &[Ways<'_>], named: impl Fn(&str) -> Option<usize>) -> Vec<bool> {
    let follows: Vec<Vec<usize>> = scenes
        .iter()
        .map(|scene| scene.then.iter().flat_map(|then| targets(then)).filter_map(|name| named(&name)).collect())
        .collect();
    let mut returns: Vec<bool> = scenes
        .iter()
        .map(|scene| scene.reactions.iter().copied().chain(scene.then).any(|node| mentions(node, &["Back"])))
        .collect();
    spread(&follows, &mut returns, |from, to| to && !from, |returns, from, _| returns[from] = true);
    let mut kept: Vec<bool> =
        scenes.iter().map(|scene| scene.reactions.iter().any(|node| mentions(node, &["Set", "Count"]))).collect();
    for behind in scenes.iter().flat_map(|scene| &scene.reactions).flat_map(|node| behind_counts(node)) {
        targets(&behind).iter().filter_map(|name| named(name)).for_each(|scene| kept[scene] = true);
    }
    kept.iter_mut().zip(&returns).for_each(|(kept, returns)| *kept &= *returns);
    let both = |kept: &mut Vec<bool>, from: usize, to: usize| {
        kept[from] = returns[from];
        kept[to] = returns[to];
    };
    let uneven = |from: bool, to: bool| from != to;
    let inside: Vec<Vec<usize>> = follows
        .iter()
        .enumerate()
        .map(|(from, next)| next.iter().copied().filter(|to| returns[from] && returns[*to]).collect())
        .collect();
    spread(&inside, &mut kept, uneven, both);
    kept
}

/// Applies a change along the edges until nothing changes any more.
fn spread(
    edges: &[Vec<usize>],
    marks: &mut Vec<bool>,
    due: impl Fn(bool, bool) -> bool,
    change: impl Fn(&mut Vec<bool>, usize, usize),
) {
    // Each round marks one more scene at least, so there are no more rounds than scenes.
    for _ in 0..=edges.len() {
        for (from, next) in edges.iter().enumerate() {
            for to in next {
                if due(marks[from], marks[*to]) {
                    change(marks, from, *to);
                }
            }
        }
    }
}

/// Returns whether a reaction, or one inside it, is one of `heads`.
pub fn mentions(node: &Node, heads: &[&str]) -> bool {
    node.head().is_some_and(|head| heads.contains(&head)) || parts(node).iter().any(|part| mentions(part, heads))
}

/// The scenes that a reaction names.
fn targets(node: &Node) -> Vec<String> {
    match (node.head(), node.items()) {
        (Some("Go"), [Node { shape: Shape::Text(name), .. }]) => vec![name.clone()],
        _ => parts(node).iter().flat_map(targets).collect(),
    }
}

/// What stands behind the counts within a reaction.
fn behind_counts(node: &Node) -> Vec<Node> {
    match (node.head(), node.items()) {
        (Some("Count"), [_, behind]) => vec![behind.clone()],
        _ => parts(node).iter().flat_map(behind_counts).collect(),
    }
}

fn parts(node: &Node) -> Vec<Node> {
    let mut node = node.clone();
    children(&mut node).into_iter().map(|child| child.clone()).collect()
}

/// The node of a scene's triggers as pairs.
pub fn pairs<'a>(scene: &'a Node, name: &str) -> &'a [(Node, Node)] {
    match field(scene, name) {
        Some(Node { shape: Shape::Map(pairs), .. }) => pairs,
        _ => &[],
    }
}
