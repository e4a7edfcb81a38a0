//! Any text as the name of a value: what is taken is written again the same.
#![no_main]
use bus::channel::Channel;
use libfuzzer_sys::fuzz_target;

fuzz_target!(|text: &str| {
    match Channel::parse(text) {
        Ok(channel) => {
            let written = channel.to_string();
            assert_eq!(Channel::parse(&written).map(|again| again.to_string()), Ok(written));
        }
        Err(error) => assert!(!error.to_string().is_empty() && !error.advice().is_empty()),
    }
});
