//! Windows that leave out the cells of live fields.

use super::cost::Cost;
use super::memory::DirtyMask;
use super::windows::{Window, plan};

/// Returns windows that cover every changed cell and no owned one. No owned cell may be in `changed`. If no cell is owned, these
/// are the cheapest windows. Otherwise they are the cheapest windows with the owned cells cut out, which is not always the optimum.
pub fn plan_avoiding(changed: &DirtyMask, owned: &DirtyMask, cost: &Cost) -> (u64, Vec<Window>) {
    let (price, windows) = plan(changed, cost);
    if windows.iter().all(|window| !covers(window, owned)) {
        return (price, windows);
    }
    let mut apart = Vec::new();
    for window in windows {
        if covers(&window, owned) {
            cut(&window, changed, owned, &mut apart);
        } else {
            apart.push(window);
        }
    }
    (apart.iter().map(|window| window.price(cost, changed.len())).sum(), apart)
}

fn is_set(cells: &DirtyMask, page: usize, column: usize) -> bool {
    cells.get(column).is_some_and(|pages| pages >> page & 1 == 1)
}

fn covers(window: &Window, owned: &DirtyMask) -> bool {
    let columns = || window.first_column..=window.last_column;
    (window.first_page..=window.last_page).any(|page| columns().any(|column| is_set(owned, page, column)))
}

/// Splits a window into runs between the owned cells. Each run starts and ends with a changed cell.
fn cut(window: &Window, changed: &DirtyMask, owned: &DirtyMask, apart: &mut Vec<Window>) {
    for page in window.first_page..=window.last_page {
        let mut run: Option<Window> = None;
        for column in window.first_column..=window.last_column {
            if is_set(owned, page, column) {
                apart.extend(run.take());
            } else if is_set(changed, page, column) {
                let first_column = run.map_or(column, |run| run.first_column);
                run = Some(Window { first_page: page, last_page: page, first_column, last_column: column });
            }
        }
        apart.extend(run);
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::units::Nanoseconds;
    use proptest::prelude::*;

    const COLUMNS: usize = 12;

    proptest! {
        #[test]
        fn changed_cells_are_covered_and_owned_ones_are_not(
            changed in prop::collection::vec(any::<u16>(), COLUMNS), owned in prop::collection::vec(any::<u16>(), COLUMNS),
            rectangles in any::<bool>(),
        ) {
            let changed: DirtyMask = changed.iter().zip(&owned).map(|(changed, owned)| changed & !owned).collect();
            let cost = Cost::new(Nanoseconds(22_500), Nanoseconds(47_500), 32, rectangles);
            let (price, windows) = plan_avoiding(&changed, &owned, &cost);
            prop_assert_eq!(price, windows.iter().map(|window| window.price(&cost, COLUMNS)).sum::<u64>());
            for column in 0..COLUMNS {
                for page in 0..16 {
                    let covered = windows.iter().any(|window| {
                        (window.first_page..=window.last_page).contains(&page)
                            && (window.first_column..=window.last_column).contains(&column)
                    });
                    prop_assert!(covered || !is_set(&changed, page, column));
                    prop_assert!(!covered || !is_set(&owned, page, column));
                }
            }
        }
    }
}
