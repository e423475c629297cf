//! Divides the running time among the scenes: by the `day` of the script, or by the loop that the show plays without triggers.

use crate::show::{SceneId, Show, Then};

/// The share of the running time of each scene, in the show's order; together 1.
#[derive(Clone, Debug, PartialEq)]
pub struct Running {
    pub shares: Vec<f64>,
    /// In words, where the shares come from.
    pub basis: &'static str,
}

/// The shares of a show.
pub fn running(show: &Show) -> Running {
    let mut weights = vec![0.0; show.scenes().len()];
    let basis = if show.day().is_empty() {
        for scene in steady(show) {
            weights[scene.0] = f64::from(show.scenes()[scene.0].frames.0);
        }
        "the show without triggers"
    } else {
        for stay in show.day() {
            weights[stay.scene.0] += stay.hours;
        }
        "the hours of the script's day"
    };
    let whole: f64 = weights.iter().sum();
    Running { shares: weights.into_iter().map(|weight| weight / whole).collect(), basis }
}

/// The scenes that play without end if there is no trigger.
fn steady(show: &Show) -> Vec<SceneId> {
    let mut way = vec![show.start()];
    loop {
        let here = way[way.len() - 1];
        match show.scenes()[here.0].then {
            Then::Hold | Then::Repeat | Then::Back => return vec![here],
            Then::Scene(next) => match way.iter().position(|known| *known == next) {
                Some(first) => return way.split_off(first),
                None => way.push(next),
            },
        }
    }
}
