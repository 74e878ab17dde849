//! What the electrical codes say, as tables and small functions: the NEC in four editions, and the IEC. Nothing here knows a
//! household; [`crate::findings`] applies it to one.
//!
//! Every rule is paraphrased. No paywalled standard was opened: what stands here is to be checked against the adopted edition and
//! local amendments before anyone builds to it. [`Clause`] tells where a rule is written and how sure the words are.

mod clause;
mod code;
mod conductor;
mod dwelling_load;
mod earth_conductor;
mod home_demand;
mod interconnection;
mod metric_wire;
mod motor;
mod nec_wire;
mod pv_current;
mod standard_rating;
mod storage_place;
mod string_voltage;
mod term;
mod voltage_drop;

pub use clause::Clause;
pub use code::{Code, NecEdition, Source, SourceStatus};
pub use conductor::{
    AmpacityCheck, AmpacityCheckKind, Carrying, Conductors, DropLimit, Duty, Laying,
    ParallelLaying, Reserve, Size, Terminals, Wiring,
};
pub use dwelling_load::{
    ClimateLoads, ConnectedLoads, DwellingLoads, PooledLoad, general_lighting_va, measured_load_va,
    tiered_va,
};
pub use earth_conductor::{
    EARTH_CONDUCTORS, electrode_conductor, enlarged_earth_conductor, iec_earth_conductor,
    nec_earth_conductor,
};
pub use home_demand::{DemandPart, HomeCircuits};
pub use interconnection::{
    Busbar, BusbarCheck, BusbarRule, controlled_sources_a, feeder_beyond_source_a, feeder_tap_a,
};
pub use metric_wire::{
    LoadedConductors, METRIC_AMBIENT_FACTORS, Method, MetricInsulation, PV_CABLE_AMBIENT_FACTORS,
    Section, metric_ambient_factor, metric_grouping_factor,
};
pub use motor::{
    CodeLetter, DIRECT_START_RATIO, SINGLE_PHASE_FULL_LOAD_A, locked_rotor_a, locked_rotor_va,
};
pub use nec_wire::{
    AMBIENT_FACTORS, Awg, Column, Metal, ROOFTOP_ADDER_K, ambient_factor, grouping_factor,
};
pub use pv_current::{ABOVE_STC, StringFuse, continuous_basis_a, source_circuit_a, string_fuse};
pub use standard_rating::{
    Device, IEC_RATINGS_A, NEC_RATINGS_A, NEC_SMALLEST_SINCE_2023_A, Neighbours, STRING_FUSES_A,
    breaker_at_least_a, breaker_at_most_a, breaker_ratings_a, most_protection_a, neighbours_a,
};
pub use storage_place::{SPACING_M, StorageRoom, UNIT_WH};
pub use string_voltage::{
    COLD_FACTORS, STC_CELL_C, cold_factor, dwelling_limit_v, fewest_in_series, hot_cell_rise_k,
    most_in_series, voltage_at_cell_v,
};
pub use term::Term;
pub use voltage_drop::{
    effective_ohm_per_m, short_circuit_k, short_circuit_section_mm2, voltage_drop_v,
};
