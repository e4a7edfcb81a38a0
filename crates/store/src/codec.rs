//! Columns of integers to blobs and back, each with its check sum.

use crate::error::Trouble;
use pco::data_types::Number;
use pco::standalone::{simple_compress, simple_decompress};
use pco::{ChunkConfig, DeltaSpec};

/// Packs a column.
pub(crate) fn pack<T: Number>(column: &[T]) -> Vec<u8> {
    simple_compress(column, &ChunkConfig::default()).expect("the settings are pco's own")
}

/// Packs steps: over the least of them where they fit 32 bits, which it gives, and as they are where they do not.
///
/// pco's own choice of what to take differences from was half as large again on readings that drift under noise. A
/// forecast from the last six serves those, plain differences what counts up, and none what only flickers.
pub(crate) fn pack_steps(steps: &[i64]) -> (Option<i64>, Vec<u8>) {
    let least = steps.iter().copied().min().unwrap_or(0);
    let over: Option<Vec<u32>> = steps.iter().map(|steps| u32::try_from(steps - least).ok()).collect();
    let Some(over) = over else { return (None, pack(steps)) };
    let ways = [DeltaSpec::TryConv1(6), DeltaSpec::TryConsecutive(1), DeltaSpec::NoOp];
    let packed = ways.map(|way| {
        simple_compress(&over, &ChunkConfig::default().with_delta_spec(way)).expect("the settings are pco's own")
    });
    (Some(least), packed.into_iter().min_by_key(Vec::len).expect("three ways"))
}

/// The reverse of [`pack_steps`].
pub(crate) fn unpack_steps(least: Option<i64>, blob: &[u8], count: usize) -> Result<Vec<i64>, Trouble> {
    match least {
        None => unpack(blob, count),
        Some(least) => Ok(unpack::<u32>(blob, count)?.into_iter().map(|over| least + i64::from(over)).collect()),
    }
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
