//! From the text of `evidence.toml` to what the owner noticed.
