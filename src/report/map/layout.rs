//! Where everything stands on the map, in units of the drawing: boxes in rows, ways between them, labels where there is room.

use super::graph::{Graph, SceneNode};
use super::order::{RankItem, Ranks, links, row_of, rows};
use super::route::{EdgeRoute, routes};

/// About the width of a character of each size of letters, and the height of a line.
pub const TITLE_WIDTH: f64 = 8.6;
pub const CHARACTER_WIDTH: f64 = 6.9;
pub const LINE: f64 = 17.0;
pub const TITLE_LINE: f64 = 20.0;
/// Around the words of a box.
pub const PADDING: f64 = 10.0;
const NARROWEST: f64 = 120.0;
/// Characters of the longest line of a box; what is longer is broken.
const LONGEST_LINE: usize = 30;
/// Between boxes, and between rows.
const BESIDE: f64 = 46.0;
const BELOW: f64 = 84.0;
const BEND_WIDTH: f64 = 10.0;
pub const MARGIN: f64 = 16.0;
/// Above the first row, for the mark of the start; below the last one, for the legend.
const HEAD: f64 = 40.0;
const LEGEND: f64 = 104.0;
/// How often boxes are drawn towards their neighbours.
const PULLS: usize = 16;

/// A box of the map with its words, broken into lines.
#[derive(Clone, Debug, PartialEq)]
pub struct NodeBox {
    pub left: f64,
    pub top: f64,
    pub width: f64,
    pub height: f64,
    pub calls: Vec<String>,
    pub lines: Vec<String>,
}

impl NodeBox {
    /// Where its words begin, below the band of triggers.
    pub fn body(&self) -> f64 {
        self.top + band(self.calls.len())
    }
    /// Whether a rectangle (left, top, right, bottom) lies over it.
    pub fn meets(&self, (left, top, right, bottom): (f64, f64, f64, f64)) -> bool {
        left < self.left + self.width && right > self.left && top < self.top + self.height && bottom > self.top
    }
}

/// The whole map.
#[derive(Clone, Debug, PartialEq)]
pub struct MapLayout {
    pub width: f64,
    pub height: f64,
    /// One for each scene.
    pub frames: Vec<NodeBox>,
    /// One for each way.
    pub routes: Vec<EdgeRoute>,
}

fn band(lines: usize) -> f64 {
    if lines == 0 { 0.0 } else { LINE * lines as f64 + PADDING }
}

/// Lays a graph out.
pub fn layout(graph: &Graph) -> MapLayout {
    let rows = rows(graph);
    let mut frames: Vec<NodeBox> = graph.nodes.iter().map(frame).collect();
    let mut top = MARGIN + HEAD;
    let mut bands = Vec::new();
    for row in &rows {
        let scenes =
            || row.iter().filter_map(|item| if let RankItem::Scene(scene) = item { Some(*scene) } else { None });
        let height = scenes().map(|scene| frames[scene].height).fold(0.0, f64::max);
        scenes().for_each(|scene| frames[scene].top = top);
        bands.push((top, top + height));
        top += height + BELOW;
    }
    let middles = middles(graph, &rows, &frames);
    let middle = |item: RankItem| {
        let row = row_of(&rows, item);
        let place = rows[row].iter().position(|known| *known == item).unwrap_or(0);
        middles[row][place]
    };
    for (scene, frame) in frames.iter_mut().enumerate() {
        frame.left = middle(RankItem::Scene(scene)) - frame.width / 2.0;
    }
    let routes = routes(graph, &rows, &frames, &bands, middle);
    let right = frames.iter().map(|frame| frame.left + frame.width);
    let labels = routes.iter().map(|route| route.label.0 + route.label_width / 2.0);
    let bends = middles.iter().flatten().map(|middle| middle + BEND_WIDTH);
    let width = right.chain(labels).chain(bends).fold(0.0, f64::max) + MARGIN;
    MapLayout { width, height: top - BELOW + LEGEND + MARGIN, frames, routes }
}

/// A box at no place yet.
fn frame(node: &SceneNode) -> NodeBox {
    let (calls, mut lines) = (broken(&node.calls), broken(&node.lines));
    if node.unreached {
        lines.push("never reached".into());
    }
    if node.trap {
        lines.push("no way out".into());
    }
    let longest = calls.iter().chain(&lines).map(|line| line.chars().count()).max().unwrap_or(0) as f64;
    let words = (longest * CHARACTER_WIDTH).max(node.title.chars().count() as f64 * TITLE_WIDTH);
    let height = band(calls.len()) + 2.0 * PADDING + TITLE_LINE + LINE * lines.len() as f64;
    NodeBox { left: 0.0, top: 0.0, width: (words + 2.0 * PADDING).max(NARROWEST), height, calls, lines }
}

/// Lines broken at spaces; what goes on is set in.
fn broken(lines: &[String]) -> Vec<String> {
    let mut broken = Vec::new();
    for line in lines {
        let mut current = String::new();
        for word in line.split(' ') {
            if !current.is_empty() && current.chars().count() + word.chars().count() >= LONGEST_LINE {
                broken.push(std::mem::replace(&mut current, "  ".into()));
            }
            if !current.trim().is_empty() {
                current.push(' ');
            }
            current.push_str(word);
        }
        broken.push(current);
    }
    broken
}

/// The middle of each item, row by row: near the middle of its neighbours, and clear of those beside it.
fn middles(graph: &Graph, rows: &Ranks, frames: &[NodeBox]) -> Vec<Vec<f64>> {
    let half =
        |item: RankItem| if let RankItem::Scene(scene) = item { frames[scene].width / 2.0 } else { BEND_WIDTH / 2.0 };
    let links = links(graph, rows);
    let mut middles: Vec<Vec<f64>> = rows.iter().map(|row| apart(row, &vec![0.0; row.len()], half)).collect();
    for pull in 0..PULLS {
        let order: Vec<usize> = if pull % 2 == 0 { (0..rows.len()).collect() } else { (0..rows.len()).rev().collect() };
        for row in order {
            let wanted: Vec<Option<f64>> =
                rows[row].iter().map(|item| neighbours_middle(*item, row, rows, &links, &middles)).collect();
            middles[row] = apart(&rows[row], &beside(&rows[row], &wanted, half), half);
        }
    }
    let edges = rows.iter().zip(&middles).flat_map(|(row, middles)| {
        row.iter().zip(middles).map(move |(item, middle)| middle - half(*item)).collect::<Vec<_>>()
    });
    let left = edges.fold(f64::INFINITY, f64::min);
    middles.iter_mut().flatten().for_each(|middle| *middle += MARGIN - left);
    middles
}

fn neighbours_middle(
    item: RankItem,
    row: usize,
    rows: &Ranks,
    links: &[(RankItem, RankItem)],
    middles: &[Vec<f64>],
) -> Option<f64> {
    let others = links.iter().filter_map(|(one, other)| match item {
        item if item == *one => Some(*other),
        item if item == *other => Some(*one),
        _ => None,
    });
    let middle = |other: RankItem| {
        let at = row_of(rows, other);
        let place = rows[at].iter().position(|known| *known == other)?;
        (at != row).then(|| middles[at][place])
    };
    let found: Vec<f64> = others.filter_map(middle).collect();
    (!found.is_empty()).then(|| found.iter().sum::<f64>() / found.len() as f64)
}

/// What an item without neighbours wants is to stand beside the one before it in its row, or else behind it.
fn beside(row: &[RankItem], wanted: &[Option<f64>], half: impl Fn(RankItem) -> f64) -> Vec<f64> {
    let room = |left: usize| half(row[left]) + half(row[left + 1]) + BESIDE;
    let first = wanted.iter().position(Option::is_some).unwrap_or(0);
    let mut middles = vec![wanted.get(first).copied().flatten().unwrap_or(0.0); row.len()];
    for at in (0..first).rev() {
        middles[at] = middles[at + 1] - room(at);
    }
    for at in first + 1..row.len() {
        middles[at] = wanted[at].unwrap_or(middles[at - 1] + room(at - 1));
    }
    middles
}

/// The middles of a row's items as near to those wanted as their widths allow, in the row's order.
fn apart(row: &[RankItem], wanted: &[f64], half: impl Fn(RankItem) -> f64) -> Vec<f64> {
    let room = |left: usize| half(row[left]) + half(row[left + 1]) + BESIDE;
    let mut rightwards = wanted.to_vec();
    for at in 1..row.len() {
        rightwards[at] = rightwards[at].max(rightwards[at - 1] + room(at - 1));
    }
    let mut leftwards = wanted.to_vec();
    for at in (1..row.len()).rev() {
        leftwards[at - 1] = leftwards[at - 1].min(leftwards[at] - room(at - 1));
    }
    // The mean of two rows that keep their distances keeps them too.
    rightwards.iter().zip(&leftwards).map(|(one, other)| (one + other) / 2.0).collect()
}

#[cfg(test)]
mod tests {
    use super::super::graph::Edge;
    use super::*;
    use proptest::prelude::*;

    proptest! {
        #[test]
        fn no_box_lies_over_another_and_all_is_within_the_map(
            count in 1usize..14, ways in prop::collection::vec((0usize..14, 0usize..14), 0..30),
        ) {
            let node = |number: usize| SceneNode {
                title: format!("scene {number}"),
                lines: vec!["ignores leak, rest, wake, knock and dawn".into(); number % 3],
                starts: number == 0,
                ..SceneNode::default()
            };
            let edge = |(from, to): &(usize, usize)| Edge {
                from: from % count, to: to % count, follows: (from + to) % 2 == 0, label: "after 9 s".into(),
            };
            let edges = ways.iter().map(edge).filter(|edge| edge.from != edge.to).collect();
            let graph = Graph { nodes: (0..count).map(node).collect(), edges };
            let layout = layout(&graph);
            for (number, frame) in layout.frames.iter().enumerate() {
                let area = (frame.left, frame.top, frame.left + frame.width, frame.top + frame.height);
                prop_assert!(area.0 >= 0.0 && area.1 >= 0.0 && area.2 <= layout.width && area.3 <= layout.height);
                let others = layout.frames.iter().enumerate().filter(|(other, _)| *other != number);
                prop_assert!(others.into_iter().all(|(_, other)| !other.meets(area)));
            }
            prop_assert_eq!(layout.routes.len(), graph.edges.len());
        }
    }

    #[test]
    fn long_lines_are_broken_at_spaces() {
        let lines = broken(&["ignores leak, rest, wake, knock and dawn".to_owned()]);
        assert_eq!(lines, ["ignores leak, rest, wake,", "  knock and dawn"]);
    }
}
