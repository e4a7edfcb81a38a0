//! Columns of integers to blobs and back, each with its check sum.

use crate::error::Trouble;
use pco::ChunkConfig;
use pco::data_types::Number;
use pco::standalone::{simple_compress, simple_decompress};

/// Packs a column.
pub(crate) fn pack<T: Number>(column: &[T]) -> Vec<u8> {
    simple_compress(column, &ChunkConfig::default()).expect("the settings are pco's own")
}

/// Unpacks a column that must have this many entries.
pub(crate) fn unpack<T: Number>(blob: &[u8], count: usize) -> Result<Vec<T>, Trouble> {
    let column = simple_decompress(blob).map_err(|error| Trouble::Damaged(format!("a column: {error}")))?;
    if column.len() == count {
        Ok(column)
    } else {
        Err(Trouble::Damaged(format!("a column of {} where {count} were written", column.len())))
    }
}

/// CRC-32 over blobs, one after the other.
pub(crate) fn sum(blobs: &[&[u8]]) -> u32 {
    let mut hasher = crc32fast::Hasher::new();
    for blob in blobs {
        hasher.update(blob);
    }
    hasher.finalize()
}

/// That blobs are as they were written. Comes before they are unpacked, so that no garbled length is believed.
pub(crate) fn verify(blobs: &[&[u8]], written: u32) -> Result<(), Trouble> {
    if sum(blobs) == written { Ok(()) } else { Err(Trouble::Damaged("a check sum does not fit".to_string())) }
}
