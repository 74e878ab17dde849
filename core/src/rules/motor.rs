//! What a motor takes as it starts.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// Code letter on a motor's nameplate.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize, JsonSchema)]
#[expect(missing_docs, reason = "the letters name themselves")]
pub enum CodeLetter {
    A,
    B,
    C,
    D,
    E,
    F,
    G,
    H,
    J,
    K,
    L,
    M,
    N,
    P,
    R,
    S,
    T,
    U,
    V,
}

impl CodeLetter {
    /// Every letter, the gentlest first.
    pub const ALL: [Self; 19] = [
        Self::A,
        Self::B,
        Self::C,
        Self::D,
        Self::E,
        Self::F,
        Self::G,
        Self::H,
        Self::J,
        Self::K,
        Self::L,
        Self::M,
        Self::N,
        Self::P,
        Self::R,
        Self::S,
        Self::T,
        Self::U,
        Self::V,
    ];

    /// Most apparent power per horsepower with the rotor locked, kVA/hp; for V, which is open above, its lower end.
    ///
    /// Source: NEC table 430.7(B) (public transcription).
    #[must_use]
    #[expect(clippy::approx_constant, reason = "an entry of the table, not pi")]
    pub fn kva_per_hp(self) -> f64 {
        match self {
            Self::A => 3.14,
            Self::B => 3.54,
            Self::C => 3.99,
            Self::D => 4.49,
            Self::E => 4.99,
            Self::F => 5.59,
            Self::G => 6.29,
            Self::H => 7.09,
            Self::J => 7.99,
            Self::K => 8.99,
            Self::L => 9.99,
            Self::M => 11.19,
            Self::N => 12.49,
            Self::P => 13.99,
            Self::R => 15.99,
            Self::S => 17.99,
            Self::T => 19.99,
            Self::U => 22.39,
            Self::V => 22.4,
        }
    }
}

/// Apparent power with the rotor locked, VA.
#[must_use]
pub fn locked_rotor_va(letter: CodeLetter, horsepower: f64) -> f64 {
    1000.0 * letter.kva_per_hp() * horsepower
}

/// Current with the rotor locked, A per line conductor.
///
/// Source: NEC 430.7(B): kVA/hp × hp × 1000 / V, for three phases / (√3 V).
#[must_use]
pub fn locked_rotor_a(letter: CodeLetter, horsepower: f64, line_v: f64, three_phase: bool) -> f64 {
    let phases = if three_phase { libm::sqrt(3.0) } else { 1.0 };
    locked_rotor_va(letter, horsepower) / (phases * line_v)
}

/// Horsepower with the full-load current of a single-phase motor at 115 V and at 230 V, A.
///
/// Source: NEC table 430.248 (public transcription; ¼ and ⅓ hp from memory).
pub const SINGLE_PHASE_FULL_LOAD_A: [(f64, f64, f64); 11] = [
    (0.25, 5.8, 2.9),
    (1.0 / 3.0, 7.2, 3.6),
    (0.5, 9.8, 4.9),
    (0.75, 13.8, 6.9),
    (1.0, 16.0, 8.0),
    (1.5, 20.0, 10.0),
    (2.0, 24.0, 12.0),
    (3.0, 34.0, 17.0),
    (5.0, 56.0, 28.0),
    (7.5, 80.0, 40.0),
    (10.0, 100.0, 50.0),
];

/// How many times its running power a motor may take as it starts directly on the line.
///
/// Source: common practice: 5 to 7 times the full-load current; with a soft starter half of that.
pub const DIRECT_START_RATIO: f64 = 6.0;
