//! All integration tests in one binary; each module holds the library or its output against something outside the project.

mod root {
    mod bad;
    mod bdf;
    mod behaviour;
    mod browser;
    mod budget;
    mod chance;
    mod cli;
    mod compiled;
    mod dense;
    mod dialects;
    mod emulator;
    mod explain;
    mod fields;
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
    mod manual;
    mod map;
    mod outputs;
    mod panels;
    mod pictures;
    mod pillow;
    mod pipeline;
    mod proof;
    mod quick;
    mod readers;
    mod readme;
    mod reel;
    mod reference;
    mod repeat;
    mod requests;
    mod schema;
    mod shared;
    mod sheets;
    mod spi;
    mod stages;
    mod watch;
}
