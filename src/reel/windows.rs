//! Finds the cheapest windows that cover all changed cells, by dynamic programming.
//!
//! Each page is either covered by runs of its own or, with its neighbours, by one rectangle. The runs of a page are
//! optimal: an optimal run starts and ends with a stretch of changed cells without a gap, since two runs side by side cost
//! more than one, so the best cover of the first k stretches is the best over all places where its last run may start. Groups of neighbouring pages are then chosen the same way.

use super::cost::Cost;
use super::memory::{DirtyMask, PAGES};

/// A rectangle of cells to be written. Both ends are included. A run is a rectangle of one page.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Window {
    pub first_page: usize,
    pub last_page: usize,
    pub first_column: usize,
    pub last_column: usize,
}

impl Window {
    /// How many cells it has.
    pub fn cells(&self) -> usize {
        (self.last_page - self.first_page + 1) * (self.last_column - self.first_column + 1)
    }
    /// Its bus time on a display `width` columns wide.
    pub fn cost(&self, cost: &Cost, width: usize) -> u64 {
        let pages = (self.last_page - self.first_page + 1) as u64;
        let columns = (self.last_column - self.first_column + 1) as u64;
        if pages == 1 { cost.run(columns) } else { cost.rectangle(pages, columns, self.last_column + 1 == width) }
    }
    /// Its price, by which windows are chosen: bus time, plus flash as bus time.
    pub fn price(&self, cost: &Cost, width: usize) -> u64 {
        let pages = (self.last_page - self.first_page + 1) as u64;
        let columns = (self.last_column - self.first_column + 1) as u64;
        let at_edge = self.last_column + 1 == width;
        if pages == 1 { cost.run_price(columns) } else { cost.rectangle_price(pages, columns, at_edge) }
    }
}

/// Returns the cheapest windows that cover every changed cell, page by page from the top, and their price.
pub fn plan(changed: &DirtyMask, cost: &Cost) -> (u64, Vec<Window>) {
    let pages: Vec<Vec<usize>> = (0..PAGES).map(|page| changed_columns(changed, page)).collect();
    let runs: Vec<(u64, Vec<Window>)> =
        pages.iter().enumerate().map(|(page, columns)| plan_page(page, columns, cost)).collect();
    if !cost.rectangles {
        let total = runs.iter().map(|(time, _)| time).sum();
        return (total, runs.into_iter().flat_map(|(_, windows)| windows).collect());
    }
    let mut best: Vec<(u64, usize)> = vec![(0, 0)];
    for end in 1..=PAGES {
        let alone = (best[end - 1].0 + runs[end - 1].0, end - 1);
        let grouped = (0..end - 1).filter_map(|start| {
            let window = rectangle(&pages, start, end - 1, changed.len(), cost)?;
            Some((best[start].0 + window.price(cost, changed.len()), start))
        });
        best.push(grouped.fold(alone, |least, candidate| if candidate.0 < least.0 { candidate } else { least }));
    }
    let mut groups = Vec::new();
    let mut end = PAGES;
    while end > 0 {
        groups.push((best[end].1, end - 1));
        end = best[end].1;
    }
    let windows = groups.into_iter().rev().flat_map(|(first, last)| {
        if first == last {
            runs[first].1.clone()
        } else {
            rectangle(&pages, first, last, changed.len(), cost).into_iter().collect()
        }
    });
    (best[PAGES].0, windows.collect())
}

/// The price of the cheapest runs over changed columns of one page, which are given in order.
pub fn runs_price(columns: &[usize], cost: &Cost) -> u64 {
    plan_page(0, columns, cost).0
}

/// The longest gap of unchanged cells that the player sends instead of setting the pointer, which takes as many bytes.
const LONGEST_SENT_GAP: usize = 7;

/// Bus time of a band of which the player sends only these changed columns, given in order.
pub fn changes_cost(columns: &[usize], cost: &Cost) -> u64 {
    let runs = columns.chunk_by(|one, next| next - one - 1 <= LONGEST_SENT_GAP);
    runs.map(|run| cost.run((run[run.len() - 1] - run[0] + 1) as u64)).sum()
}

fn changed_columns(changed: &DirtyMask, page: usize) -> Vec<usize> {
    (0..changed.len()).filter(|column| changed[*column] >> page & 1 == 1).collect()
}

/// Returns the cheaper of two rectangles around all changed cells of pages `first` to `last`: the smallest one, and one that ends
/// at the edge of the display. `None` if the first or last page has no changed cell.
fn rectangle(pages: &[Vec<usize>], first: usize, last: usize, width: usize, cost: &Cost) -> Option<Window> {
    if pages[first].is_empty() || pages[last].is_empty() {
        return None;
    }
    let group = &pages[first..=last];
    let first_column = group.iter().filter_map(|columns| columns.first()).min()?;
    let last_column = group.iter().filter_map(|columns| columns.last()).max()?;
    let tight = Window { first_page: first, last_page: last, first_column: *first_column, last_column: *last_column };
    let wide = Window { last_column: width - 1, ..tight };
    Some(if wide.price(cost, width) < tight.price(cost, width) { wide } else { tight })
}

/// The first and last column of each group of changed cells without a gap.
fn stretches(columns: &[usize]) -> Vec<(usize, usize)> {
    let mut stretches: Vec<(usize, usize)> = Vec::new();
    for column in columns {
        match stretches.last_mut() {
            Some((_, last)) if *last + 1 == *column => *last = *column,
            _ => stretches.push((*column, *column)),
        }
    }
    stretches
}

fn plan_page(page: usize, columns: &[usize], cost: &Cost) -> (u64, Vec<Window>) {
    let stretches = stretches(columns);
    let mut best: Vec<(u64, usize)> = vec![(0, 0)];
    for (end, (_, last)) in stretches.iter().enumerate() {
        let starts = (0..=end).map(|start| {
            let cells = (last - stretches[start].0 + 1) as u64;
            (best[start].0 + cost.run_price(cells), start)
        });
        let least = starts.min_by_key(|(price, start)| (*price, *start));
        best.push(least.unwrap_or((0, 0))); // `0..=end` is never empty
    }
    let mut windows = Vec::new();
    let mut end = stretches.len();
    while end > 0 {
        let start = best[end].1;
        let (first_column, last_column) = (stretches[start].0, stretches[end - 1].1);
        windows.push(Window { first_page: page, last_page: page, first_column, last_column });
        end = start;
    }
    windows.reverse();
    (best[stretches.len()].0, windows)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::reel::memory::Pages;
    use crate::units::Nanoseconds;
    use proptest::prelude::*;

    const COLUMNS: usize = 6;
    const TESTED_PAGES: usize = 3;

    fn cost(byte: u64, frame: u64, limit: u16, rectangles: bool) -> Cost {
        Cost::new(Nanoseconds(byte), Nanoseconds(frame + 2 * byte), limit, rectangles)
    }

    /// Tries all covers of one page's cells by disjoint runs in order.
    fn cheapest_runs(changed: u8, from: usize, cost: &Cost) -> u64 {
        if from >= COLUMNS {
            return 0;
        }
        let skip = if changed >> from & 1 == 0 { cheapest_runs(changed, from + 1, cost) } else { u64::MAX };
        (from..COLUMNS)
            .map(|last| cost.run_price((last - from + 1) as u64) + cheapest_runs(changed, last + 1, cost))
            .fold(skip, u64::min)
    }

    /// Tries all divisions of the pages into single pages and rectangles of any columns that cover them.
    fn cheapest(pages: &[u8], cost: &Cost) -> u64 {
        let Some((first, rest)) = pages.split_first() else { return 0 };
        let mut least = cheapest_runs(*first, 0, cost) + cheapest(rest, cost);
        if !cost.rectangles {
            return least;
        }
        for last in 1..pages.len() {
            let all = pages[..=last].iter().fold(0, |all, page| all | page);
            for start in 0..COLUMNS {
                for end in start..COLUMNS {
                    let covers = (0..COLUMNS).all(|column| all >> column & 1 == 0 || (start..=end).contains(&column));
                    if covers {
                        let time = cost.rectangle_price(last as u64 + 1, (end - start + 1) as u64, end + 1 == COLUMNS);
                        least = least.min(time + cheapest(&pages[last + 1..], cost));
                    }
                }
            }
        }
        least
    }

    proptest! {
        #[test]
        fn no_other_cover_is_cheaper(
            pages in prop::collection::vec(0u8..1 << COLUMNS, TESTED_PAGES),
            byte in 1u64..30, frame in 0u64..30, limit in 2u16..12, rectangles in any::<bool>(),
        ) {
            let cost = cost(byte, frame, limit, rectangles);
            let changed: DirtyMask = (0..COLUMNS)
                .map(|column| pages.iter().enumerate().fold(0, |bits, (page, cells)| bits | Pages::from(cells >> column & 1) << page))
                .collect();
            let (time, windows) = plan(&changed, &cost);
            prop_assert_eq!(time, windows.iter().map(|window| window.price(&cost, COLUMNS)).sum::<u64>());
            prop_assert_eq!(time, cheapest(&pages, &cost));
            for (column, cells) in changed.iter().enumerate() {
                for page in 0..TESTED_PAGES {
                    let covered = windows.iter().any(|window| {
                        (window.first_page..=window.last_page).contains(&page)
                            && (window.first_column..=window.last_column).contains(&column)
                    });
                    prop_assert!(covered || cells >> page & 1 == 0);
                }
            }
        }
    }

    #[test]
    fn a_gap_is_sent_when_that_is_cheaper_than_a_new_seek() {
        let cost = cost(9, 1, 32, true);
        let row =
            |columns: &[usize]| -> DirtyMask { (0..20).map(|column| Pages::from(columns.contains(&column))).collect() };
        assert_eq!(plan(&row(&[1, 5]), &cost).1.len(), 1);
        assert_eq!(plan(&row(&[1, 15]), &cost).1.len(), 2);
        assert_eq!(plan(&row(&[]), &cost), (0, vec![]));
    }
}
