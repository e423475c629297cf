//! Makes the reel of a film from a show.

use super::sampler::opened;
use super::tables::{BIT, TableDecision, Tables, fit};
use crate::player::film::SQUASH;
use crate::player::film_canvas::TABLES_OF;
use crate::player::operation as op;
use crate::reel::dense::{Choices, DenseReel, FrameSequence, Model, VisibleWindow, assembled, choices};
use crate::reel::encode::Header;
use crate::reel::step::Planner;
use rayon::prelude::*;

/// Probabilities are in 1/256, which is 8 bits.
const SHARE_BITS: u8 = 8;

/// Compiles the sequences of a show.
pub fn compile_film(
    header: &Header,
    sequences: &[FrameSequence],
    planner: &Planner,
    visible: VisibleWindow,
) -> DenseReel {
    let mut all = choices(sequences, |_, sequence| opened(sequence, visible));
    let rough = fitted(&all);
    all.play_again(|sample| rough[usize::from(sample.class)].bits(sample) as f64 / BIT as f64);
    let tables = fitted(&all);
    let share = |sample: &TableDecision| {
        let sum = tables[usize::from(sample.class)].sum(&sample.contexts);
        (u16::from(SQUASH[usize::from(sum.cast_unsigned())]), sample.answer)
    };
    let streams = (0..sequences.len()).map(|scene| all.stream(scene, SHARE_BITS, share)).collect();
    assembled(
        header,
        sequences,
        planner,
        &all.scenes,
        Model { operation: op::FILM, bytes: model(visible, &tables), streams },
    )
}

/// Fits the tables of each class to all coded decisions.
fn fitted(all: &Choices<TableDecision>) -> Vec<Tables> {
    let mut samples = vec![Vec::new(); TABLES_OF.len()];
    all.coded().for_each(|sample| samples[usize::from(sample.class)].push(*sample));
    samples.par_iter().enumerate().map(|(class, samples)| fit(class, samples)).collect()
}

/// Encodes a model: visible part of the display, widths of all tables, then their steps.
fn model(visible: VisibleWindow, classes: &[Tables]) -> Vec<u8> {
    let mut bytes = vec![visible.width, visible.pages, visible.first_column];
    let widths = classes.iter().zip(TABLES_OF).flat_map(|(class, count)| &class.widths[..count]);
    let widths: Vec<u8> = widths.copied().collect();
    bytes.extend(widths.chunks(2).map(|pair| pair.iter().rev().fold(0, |byte, width| byte << 4 | width)));
    bytes.extend(classes.iter().flat_map(|class| class.steps.iter().flatten()).map(|step| step.cast_unsigned()));
    bytes
}
