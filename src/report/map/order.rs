//! Scenes, labels and bends in rows: below each row of scenes is one of labels, and each row's order is chosen so that few ways cross (the
//! barycentre method of Sugiyama).

use super::graph::Graph;
use std::cmp::Ordering;
use std::collections::VecDeque;

/// The most scenes beside one another.
const MOST_IN_A_ROW: usize = 4;
/// How often the rows are put in order, down and up in turn.
const SWEEPS: usize = 12;

/// An item of a row: a scene, or the place where a transition passes. Rows with even numbers have scenes, those between them
/// labels.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum RankItem {
    Scene(usize),
    /// A way by its number, in a row that it only passes; in the first row of labels that it passes, it has its label there.
    Bend(usize, usize),
}

/// Rows of items from the top.
pub type Ranks = Vec<Vec<RankItem>>;

/// The items of a way, from the scene that it leaves to the one that it leads to.
pub fn chain(graph: &Graph, rows: &Ranks, way: usize) -> Vec<RankItem> {
    let edge = &graph.edges[way];
    let (from, to) = (row_of(rows, RankItem::Scene(edge.from)), row_of(rows, RankItem::Scene(edge.to)));
    let between: Vec<usize> = match from.cmp(&to) {
        Ordering::Less => (from + 1..to).collect(),
        // A way between two scenes of one row turns in the labels below them.
        Ordering::Equal => vec![from + 1],
        Ordering::Greater => (to + 1..from).rev().collect(),
    };
    let bends = between.into_iter().map(|row| RankItem::Bend(way, row));
    [RankItem::Scene(edge.from)].into_iter().chain(bends).chain([RankItem::Scene(edge.to)]).collect()
}

/// The row of an item; every scene and every bend of a chain is in one.
pub fn row_of(rows: &Ranks, item: RankItem) -> usize {
    match item {
        RankItem::Bend(_, row) => row,
        item => rows.iter().position(|row| row.contains(&item)).unwrap_or(0),
    }
}

/// The scenes in rows by how far they are from the start, with bends where ways pass, in a good order.
pub fn rows(graph: &Graph) -> Ranks {
    let mut rows: Ranks = Vec::new();
    for distance in 0..=graph.nodes.len() {
        let depths = depths(graph);
        let here: Vec<RankItem> =
            (0..graph.nodes.len()).filter(|node| depths[*node] == distance).map(RankItem::Scene).collect();
        rows.extend(here.chunks(MOST_IN_A_ROW).flat_map(|scenes| [scenes.to_vec(), Vec::new()]));
    }
    for way in 0..graph.edges.len() {
        for item in chain(graph, &rows, way) {
            if let RankItem::Bend(_, row) = item {
                rows[row].push(item);
            }
        }
    }
    ordered(graph, rows)
}

/// Ways from the start to each scene; what cannot be reached comes behind all others.
fn depths(graph: &Graph) -> Vec<usize> {
    let mut depths = vec![usize::MAX; graph.nodes.len()];
    let start = graph.nodes.iter().position(|node| node.starts).unwrap_or(0);
    let mut open = VecDeque::from([(start, 0)]);
    while let Some((node, depth)) = open.pop_front() {
        if depths.get(node).is_none_or(|known| *known <= depth) {
            continue;
        }
        depths[node] = depth;
        open.extend(graph.edges.iter().filter(|edge| edge.from == node).map(|edge| (edge.to, depth + 1)));
        let called = |node: &usize| !graph.nodes[*node].calls.is_empty();
        open.extend((0..graph.nodes.len()).filter(called).map(|node| (node, depth + 1)));
    }
    let last = depths.iter().filter(|depth| **depth != usize::MAX).max().copied().unwrap_or(0);
    depths.into_iter().map(|depth| if depth == usize::MAX { last + 1 } else { depth }).collect()
}

/// The neighbours of each item in the rows above and below.
pub fn links(graph: &Graph, rows: &Ranks) -> Vec<(RankItem, RankItem)> {
    let chains = (0..graph.edges.len()).map(|way| chain(graph, rows, way));
    chains.flat_map(|chain| chain.windows(2).map(|pair| (pair[0], pair[1])).collect::<Vec<_>>()).collect()
}

fn ordered(graph: &Graph, mut rows: Ranks) -> Ranks {
    let links = links(graph, &rows);
    let mut best = (crossings(&rows, &links), rows.clone());
    for sweep in 0..SWEEPS {
        let numbers: Vec<usize> =
            if sweep % 2 == 0 { (1..rows.len()).collect() } else { (0..rows.len().saturating_sub(1)).rev().collect() };
        for row in numbers {
            let beside = if sweep % 2 == 0 { row - 1 } else { row + 1 };
            let order: Vec<RankItem> = rows[beside].clone();
            let mean = |item: &RankItem| mean_place(*item, &order, &links);
            let mut keyed: Vec<(f64, RankItem)> =
                rows[row].iter().enumerate().map(|(place, item)| (mean(item).unwrap_or(place as f64), *item)).collect();
            keyed.sort_by(|one, other| one.0.total_cmp(&other.0));
            rows[row] = keyed.into_iter().map(|(_, item)| item).collect();
        }
        let found = crossings(&rows, &links);
        if found < best.0 {
            best = (found, rows.clone());
        }
    }
    best.1
}

fn mean_place(item: RankItem, order: &[RankItem], links: &[(RankItem, RankItem)]) -> Option<f64> {
    let others = links.iter().filter_map(|(one, other)| match item {
        item if item == *one => Some(*other),
        item if item == *other => Some(*one),
        _ => None,
    });
    let places: Vec<usize> = others.filter_map(|other| order.iter().position(|known| *known == other)).collect();
    (!places.is_empty()).then(|| places.iter().sum::<usize>() as f64 / places.len() as f64)
}

/// How many pairs of links between neighbouring rows cross.
fn crossings(rows: &Ranks, links: &[(RankItem, RankItem)]) -> usize {
    let place = |item: RankItem| {
        let row = row_of(rows, item);
        (row, rows[row].iter().position(|known| *known == item).unwrap_or(0))
    };
    let spans: Vec<((usize, usize), (usize, usize))> = links
        .iter()
        .map(|(one, other)| (place(*one), place(*other)))
        .map(|(one, other)| if one <= other { (one, other) } else { (other, one) })
        .filter(|(one, other)| one.0 != other.0)
        .collect();
    let cross = |a: &((usize, usize), (usize, usize)), b: &((usize, usize), (usize, usize))| {
        a.0.0 == b.0.0 && (a.0.1 < b.0.1 && a.1.1 > b.1.1 || a.0.1 > b.0.1 && a.1.1 < b.1.1)
    };
    spans.iter().enumerate().map(|(at, a)| spans[at + 1..].iter().filter(|b| cross(a, b)).count()).sum()
}

#[cfg(test)]
mod tests {
    use super::super::graph::{Edge, SceneNode};
    use super::*;

    fn graph(nodes: usize, edges: &[(usize, usize)]) -> Graph {
        let node = |number: usize| SceneNode { starts: number == 0, ..SceneNode::default() };
        let edge = |(from, to): &(usize, usize)| Edge { from: *from, to: *to, follows: true, label: String::new() };
        Graph { nodes: (0..nodes).map(node).collect(), edges: edges.iter().map(edge).collect() }
    }

    #[test]
    fn rows_follow_the_way_from_the_start_and_long_ways_bend() {
        let graph = graph(4, &[(0, 1), (1, 2), (2, 0)]);
        let rows = rows(&graph);
        assert_eq!(rows.len(), 8, "{rows:?}");
        assert!(rows[2].contains(&RankItem::Bend(2, 2)), "{rows:?}");
        assert_eq!(rows[6], [RankItem::Scene(3)], "what is not reached comes last");
        let bends = [3, 2, 1].map(|row| RankItem::Bend(2, row));
        assert_eq!(chain(&graph, &rows, 2), [&[RankItem::Scene(2)], &bends[..], &[RankItem::Scene(0)]].concat());
    }

    #[test]
    fn a_way_within_a_row_has_its_label_below_it() {
        let graph = graph(3, &[(0, 1), (0, 2), (1, 2)]);
        let rows = rows(&graph);
        assert_eq!(chain(&graph, &rows, 2), [RankItem::Scene(1), RankItem::Bend(2, 3), RankItem::Scene(2)]);
    }

    /// Two ways drawn crosswise cross once; the order that is chosen takes the crossing out.
    #[test]
    fn ways_that_need_not_cross_do_not() {
        let graph = graph(5, &[(0, 1), (0, 2), (1, 4), (2, 3)]);
        let links = links(&graph, &rows(&graph));
        let crosswise = vec![
            vec![RankItem::Scene(0)],
            vec![RankItem::Bend(0, 1), RankItem::Bend(1, 1)],
            vec![RankItem::Scene(1), RankItem::Scene(2)],
            vec![RankItem::Bend(3, 3), RankItem::Bend(2, 3)],
            vec![RankItem::Scene(3), RankItem::Scene(4)],
            vec![],
        ];
        assert_eq!(crossings(&crosswise, &links), 1);
        assert_eq!(crossings(&rows(&graph), &links), 0);
    }
}
