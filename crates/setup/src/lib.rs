//! How is it set, and is it the right size? The adjusting jobs and small calculators of an engine room, worked exactly.
//!
//! A [`Job`](job::Job) is data and one function: what it asks ([`ask`]), what must be heeded, and how it is worked. What is
//! told of it comes from the owner, from `[setup.PART]` of the vessel's texts, from the plant's own figures, or is taken as usual
//! ([`known`], [`given`]). The answer is plain data ([`worked`]): results, steps with their cautions, the working with its
//! sources, and a drawing to scale ([`sketch`]). How uncertain a result is follows from how uncertain each measurement is,
//! for every job in one place ([`doubt`]). A new job is a file in `jobs/`, a line in [`jobs::JOBS`] and a test.
//!
//! Nothing here opens a file or reads a clock.

pub mod ask;
pub mod doubt;
pub mod given;
pub mod job;
pub mod jobs;
pub mod known;
pub mod sketch;
pub mod worked;

mod chart;
mod fitted;
mod least_squares;
mod sure;
mod svg;
