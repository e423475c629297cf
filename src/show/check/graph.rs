//! The graph of scenes: which can be reached, which cannot be left, and which triggers do nothing anywhere.

use crate::diag::{Finding, Findings};
use crate::show::{Reaction, Scene, SceneId, Then};
use crate::source::Placed;
use std::collections::BTreeSet;

/// Reports scenes that nobody can reach, scenes that cannot be left, and triggers without any effect.
pub fn check_graph(scenes: &[Scene], start: SceneId, triggers: &[Placed<String>], findings: &mut Findings) {
    let reached = reachable(scenes, start);
    for (index, scene) in scenes.iter().enumerate() {
        if !reached.contains(&index) {
            let message = format!("the scene `{}` can never be reached from the start", scene.name);
            let hint = format!("add `then: Go({0:?})` to a scene, or `Go({0:?})` to a trigger", scene.name);
            findings.push(Finding::warning(scene.span, message).hint(hint));
        } else if !triggers.is_empty() && cannot_be_left(scenes, index) {
            let message = format!("no trigger leads out of the scene `{}`", scene.name);
            findings.push(
                Finding::note(scene.span, message).hint("add a trigger with `Go` to another scene, or with `Back`"),
            );
        }
    }
    for (index, trigger) in triggers.iter().enumerate() {
        if scenes.iter().all(|scene| scene.reactions.get(index) == Some(&Reaction::Ignore)) {
            let message = format!("the trigger `{}` is ignored in every scene", trigger.value);
            findings.push(Finding::warning(trigger.span, message).hint("use it in a scene, or remove it"));
        }
    }
}

/// The scenes that can play, by their index.
pub fn reachable(scenes: &[Scene], start: SceneId) -> BTreeSet<usize> {
    let mut reached = BTreeSet::new();
    let mut open = vec![start.0];
    while let Some(index) = open.pop() {
        if let Some(scene) = scenes.get(index)
            && reached.insert(index)
        {
            open.extend(ways_out(scene));
        }
    }
    reached
}

/// Where a scene leads by itself or by a trigger; the way back leads only to where one came from.
fn ways_out(scene: &Scene) -> impl Iterator<Item = usize> + '_ {
    let then = if let Then::Scene(next) = scene.then { Some(next.0) } else { None };
    let by_trigger = scene.reactions.iter().filter_map(|reaction| match reaction {
        Reaction::Go(next) => Some(next.0),
        Reaction::Ignore | Reaction::Back => None,
    });
    then.into_iter().chain(by_trigger)
}

/// Whether nothing leads from a scene to another.
pub fn cannot_be_left(scenes: &[Scene], index: usize) -> bool {
    scenes.get(index).is_some_and(|scene| {
        !scene.reactions.contains(&Reaction::Back)
            && scene.then != Then::Back
            && ways_out(scene).all(|next| next == index)
    })
}
