//! All integration tests in one binary; each module holds the library or its output against something outside the project.

mod root {
    mod cli;
    mod emulator;
    mod firmware;
    mod fonts;
    mod panels;
    mod pillow;
    mod reel;
}
