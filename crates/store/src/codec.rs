//! Columns of integers to blobs and back, each with its check sum.

use crate::error::Trouble;
use pco::data_types::Number;
use pco::standalone::{simple_compress, simple_decompress};
use pco::{ChunkConfig, DeltaSpec};
use std::panic::{RefUnwindSafe, catch_unwind};

/// Packs a column.
pub(crate) fn pack<T: Number + RefUnwindSafe>(column: &[T]) -> Result<Vec<u8>, Trouble> {
    shortest(column, [DeltaSpec::Auto])
}

/// How many readings the forecast looks back.
const ORDER: usize = 6;
/// pco forecasts so many at a time, and fails (1.1.0) where fewer than [`ORDER`] are left over.
const AT_A_TIME: usize = 512;

/// Packs steps: over the least of them where they fit 32 bits, which it gives, and as they are where they do not.
///
/// pco's own choice of what to take differences from was half as large again on readings that drift under noise. A
/// forecast from the last six serves those, plain differences what counts up, and none what only flickers.
pub(crate) fn pack_steps(steps: &[i64]) -> Result<(Option<i64>, Vec<u8>), Trouble> {
    let least = steps.iter().copied().min().unwrap_or(0);
    let over: Option<Vec<u32>> = steps.iter().map(|steps| u32::try_from(steps - least).ok()).collect();
    let Some(over) = over else { return Ok((None, pack(steps)?)) };
    let left_over = over.len() % AT_A_TIME;
    let plain = [DeltaSpec::NoOp, DeltaSpec::TryConsecutive(1)];
    let blob = if over.len() > 2 * ORDER && (left_over == 0 || left_over >= ORDER) {
        let [none, differences] = plain;
        shortest(&over, [none, differences, DeltaSpec::TryConv1(ORDER)])
    } else {
        shortest(&over, plain)
    }?;
    Ok((Some(least), blob))
}

/// The shortest blob of these ways that gives the column back. A reading is let out of the open ones only once it is known
/// that what is packed unpacks, and a way that fails or panics costs no more than that it is not taken.
fn shortest<T: Number + RefUnwindSafe, const WAYS: usize>(
    column: &[T],
    ways: [DeltaSpec; WAYS],
) -> Result<Vec<u8>, Trouble> {
    let packed = |way: DeltaSpec| {
        let config = ChunkConfig::default().with_delta_spec(way);
        catch_unwind(|| simple_compress(column, &config).ok()).ok().flatten()
    };
    let unpacks = |blob: &Vec<u8>| {
        catch_unwind(|| simple_decompress::<T>(blob).is_ok_and(|back| back == column)).unwrap_or(false)
    };
    let mut blobs: Vec<Vec<u8>> = ways.into_iter().filter_map(packed).collect();
    blobs.sort_by_key(Vec::len);
    let found = blobs.into_iter().find(unpacks);
    found.ok_or_else(|| Trouble::Damaged(format!("a column of {} cannot be packed", column.len())))
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

#[cfg(test)]
mod tests {
    use super::*;
    use crate::reading::MOST_STEPS;

    /// Looks drawn, and is the same each time.
    fn draw(seed: i64) -> i64 {
        (seed.wrapping_mul(0x2545_F491_4F6C_DD1D) ^ 0x5DEE_CE66).wrapping_mul(0x9E37_79B9) >> 17
    }

    #[test]
    fn steps_of_every_length_and_shape_come_back() {
        let shapes: [fn(i64) -> i64; 8] = [
            |_| 7,
            |i| i,
            |i| 700 + i / 60 + draw(i) % 3,
            |i| draw(i) % 5,
            |i| -(i * i) % 1000,
            |i| draw(i) % MOST_STEPS,
            |i| if i % 2 == 0 { -MOST_STEPS } else { MOST_STEPS },
            |i| (draw(i) % 2) * i64::from(u32::MAX),
        ];
        for length in (1..1100).chain([1535, 1536, 1537, 1541, 1542, 3599, 3600, 3601, 4097, 100_000]) {
            for (number, shape) in shapes.iter().enumerate() {
                let steps: Vec<i64> = (0..length).map(shape).collect();
                let (least, blob) = pack_steps(&steps).expect("it is packed");
                let back = unpack_steps(least, &blob, steps.len()).expect("it is unpacked");
                assert!(back == steps, "{length} of shape {number}");
            }
        }
    }

    #[test]
    fn readings_that_drift_under_noise_take_less_than_half_a_byte() {
        let steps: Vec<i64> = (0..3600).map(|i| 800 + i / 30 + draw(i) % 3).collect();
        let (_, blob) = pack_steps(&steps).expect("it is packed");
        assert!(blob.len() < 1800 && pack(&steps).expect("it is packed").len() >= blob.len(), "{}", blob.len());
    }
}
