//! All integration tests in one binary; each module holds the library or its output against something outside the project.
#![allow(
    clippy::cast_possible_truncation,
    clippy::cast_possible_wrap,
    clippy::cast_sign_loss,
    reason = "tests make values that fit"
)]

mod root {
    mod bad;
    mod bdf;
    mod behaviour;
    mod board;
    mod browser;
    mod budget;
    mod chance;
    mod cli;
    mod companions;
    mod compiled;
    mod cookbook;
    mod dense;
    mod dialects;
    mod drivers;
    mod emulator;
    mod explain;
    mod fields;
    mod films;
    mod firmware;
    mod fonts;
    mod fuzz;

    mod grown;
    mod http;
    mod lamps;
    mod language;
    mod layering;
    mod layers;
    mod legibility;
    mod live;
    mod live_texts;
    mod manual;
    mod map;
    mod other_panels;
    mod outputs;
    mod pages;
    mod panels;
    mod peak;
    mod pictures;
    mod pillow;
    mod pipeline;
    mod power;
    mod proof;
    mod quick;
    mod readers;
    mod reel;
    mod reference;
    mod repeat;
    mod replay;
    mod requests;
    mod schema;
    mod shared;
    mod sheets;
    mod spi;
    mod stages;
    mod terminal;
    mod thresholds;
    mod watch;
}
