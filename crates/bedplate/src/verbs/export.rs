//! `bedplate export`
use crate::stop::Stop;
#[derive(clap::Args)]
pub struct Asked {}
pub fn run(_: &Asked, _: &mut dyn std::io::Write) -> Result<(), Stop> {
    Ok(())
}
