//! The program as its owner meets it: run whole, on good, bad and absurd input.

mod answers;
mod bad_input;
mod books;
mod decode;
mod drawn;
mod moved;
mod own_kind;
mod plain_words;
mod print;
mod readme;
mod run;
mod setup;
mod shapes;
mod stores;
mod tour;
mod valves;
mod work;
