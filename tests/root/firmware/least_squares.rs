//! A least-squares fit of what units of work take to what calls took.

/// Solves the normal equations of a least-squares fit of relative errors; work that never came stays at 0.
pub fn fit<const UNKNOWNS: usize>(rows: &[([f64; UNKNOWNS], f64)]) -> [f64; UNKNOWNS] {
    let mut fitted = [0.0; UNKNOWNS];
    let used: Vec<usize> = (0..UNKNOWNS).filter(|at| rows.iter().any(|row| row.0[*at] > 0.0)).collect();
    let mut free = used.clone();
    // What would come out negative is left out, one at a time.
    loop {
        let solved = solve(rows, &free);
        let Some(worst) =
            free.iter().copied().filter(|at| solved[*at] < 0.0).min_by(|a, b| solved[*a].total_cmp(&solved[*b]))
        else {
            for at in free {
                fitted[at] = solved[at];
            }
            return fitted;
        };
        free.retain(|at| *at != worst);
    }
}

fn solve<const UNKNOWNS: usize>(rows: &[([f64; UNKNOWNS], f64)], free: &[usize]) -> [f64; UNKNOWNS] {
    let size = free.len();
    let mut matrix = vec![vec![0.0; size + 1]; size];
    for (counts, cycles) in rows {
        let weight = 1.0 / cycles;
        for (row, of_row) in free.iter().enumerate() {
            for (column, of_column) in free.iter().enumerate() {
                matrix[row][column] += weight * counts[*of_row] * counts[*of_column];
            }
            matrix[row][size] += weight * counts[*of_row] * cycles;
        }
    }
    for at in 0..size {
        let pivot = (at..size).max_by(|a, b| matrix[*a][at].abs().total_cmp(&matrix[*b][at].abs())).expect("rows");
        matrix.swap(at, pivot);
        if matrix[at][at].abs() < 1e-12 {
            continue;
        }
        for row in 0..size {
            if row != at {
                let (factor, pivot) = (matrix[row][at] / matrix[at][at], matrix[at].clone());
                matrix[row].iter_mut().zip(pivot).for_each(|(cell, pivot)| *cell -= factor * pivot);
            }
        }
    }
    let mut solved = [0.0; UNKNOWNS];
    for (row, at) in free.iter().enumerate() {
        solved[*at] = if matrix[row][row].abs() < 1e-12 { 0.0 } else { matrix[row][size] / matrix[row][row] };
    }
    solved
}
