//! How much an oil thins with heat, as one number.

/// Lower end of the piece [mm²/s at 100 °C], then a, b, c of L and d, e, f of H. Source: [D2270] table X2.1.
const PIECES: [[f64; 7]; 16] = [
    [2.0, 1.14673, 1.7576, -0.109, 0.84155, 1.5521, -0.077],
    [3.8, 3.38095, -15.4952, 33.196, 0.78571, 1.7929, -0.183],
    [4.4, 2.5, -7.2143, 13.812, 0.82143, 1.5679, 0.119],
    [5.0, 0.101, 16.635, -45.469, 0.04985, 9.1613, -18.557],
    [6.4, 3.35714, -23.5643, 78.466, 0.22619, 7.7369, -16.656],
    [7.0, 0.01191, 21.475, -72.87, 0.79762, -0.7321, 14.61],
    [7.7, 0.41858, 16.1558, -56.04, 0.05794, 10.5156, -28.24],
    [9.0, 0.88779, 7.5527, -16.6, 0.26665, 6.7015, -10.81],
    [12.0, 0.7672, 10.7972, -38.18, 0.20073, 8.4658, -22.49],
    [15.0, 0.97305, 5.3135, -2.2, 0.28889, 5.9741, -4.93],
    [18.0, 0.97256, 5.25, -0.98, 0.24504, 7.416, -16.73],
    [22.0, 0.91413, 7.4759, -21.82, 0.20323, 9.1267, -34.23],
    [28.0, 0.87031, 9.7157, -50.77, 0.18411, 10.1015, -46.75],
    [40.0, 0.84703, 12.6752, -133.31, 0.17029, 11.4866, -80.62],
    [55.0, 0.85921, 11.1009, -83.19, 0.1713, 11.368, -76.94],
    [70.0, 0.83531, 14.6731, -216.246, 0.16841, 11.8493, -96.947],
];

/// Viscosity index [1] from the viscosities at 40 and 100 °C [m²/s]; `None` below 2 mm²/s at 100 °C.
///
/// # Source
/// `[D2270]` procedures A and B, L and H by the printed pieces.
pub fn viscosity_index(nu40: f64, nu100: f64) -> Option<f64> {
    let y = nu100 * 1e6;
    let piece = PIECES.iter().rev().find(|piece| y >= piece[0])?;
    let (low, high) = ((piece[1] * y + piece[2]) * y + piece[3], (piece[4] * y + piece[5]) * y + piece[6]);
    Some(index_between(nu40 * 1e6, y, low, high))
}

/// Viscosity index [1] once the reference viscosities at 40 °C are known: L (index 0) and H (index 100),
/// all in mm²/s.
///
/// # Source
/// `[D2270]` 5.1.3 (index up to 100) and 6.1.3 (above).
pub fn index_between(nu40: f64, nu100: f64, low: f64, high: f64) -> f64 {
    if nu40 >= high {
        (low - nu40) / (low - high) * 100.0
    } else {
        let n = (high / nu40).ln() / nu100.ln();
        (10.0_f64.powf(n) - 1.0) / 0.00715 + 100.0
    }
}
