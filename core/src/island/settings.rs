//! What each grid code asks of a PV inverter as frequency moves: every figure with its clause.

use crate::coupling::{
    DroopBase, EnterService, FrequencyDroop, FrequencySettings, FrequencyTrip, GridCode,
};
use crate::household::{Household, Supply};

/// Settings of a grid code; [`GridCode::Present`] and [`GridCode::NotKnown`] depend on the frequency of the supply.
#[must_use]
pub fn settings(code: GridCode, supply: Supply) -> FrequencySettings {
    let at_60_hz = supply.frequency_hz() > 55.0;
    match code {
        GridCode::Present if at_60_hz => IEEE_1547_OF_2018,
        GridCode::Present => EN_50549,
        GridCode::NotKnown if at_60_hz => IEEE_1547_OF_2003,
        GridCode::NotKnown => OLDER_AT_50_HZ,
        GridCode::Ieee1547Of2003 => IEEE_1547_OF_2003,
        GridCode::Ieee1547aOf2014 => IEEE_1547A_OF_2014,
        GridCode::Ul1741SupplementA => UL_1741_SUPPLEMENT_A,
        GridCode::Ieee1547Of2018 => IEEE_1547_OF_2018,
        GridCode::En50549 => EN_50549,
        GridCode::VdeArN4105 => VDE_AR_N_4105,
        GridCode::UkG99 => UK_G99,
        GridCode::AsNzs4777 => AS_NZS_4777,
        GridCode::Own(own) => own,
    }
}

const fn trip(at_hz: f64, after_s: f64) -> FrequencyTrip {
    FrequencyTrip { at_hz, after_s }
}

/// IEEE 1547-2018 at its default settings, all categories.
///
/// Sources: droop: 6.5.2.7, table 24 (deadband 0.036 Hz, 5 %, 5 s to 90 %; share of rating); trips: 6.5.1, table 18 (61.2 Hz 300 s,
/// 62.0 Hz 0.16 s, 58.5 Hz 300 s, 56.5 Hz 0.16 s); coming back: 4.10.2, table 4 (59.5 Hz to 60.1 Hz, 300 s, then 300 s of ramp). The
/// ramp is from memory, the rest as published.
const IEEE_1547_OF_2018: FrequencySettings = FrequencySettings {
    droop: Some(FrequencyDroop {
        from_hz: 60.036,
        slope_per_hz: 1.0 / (60.0 * 0.05),
        of: DroopBase::Rating,
        held_until_hz: None,
        response_s: 5.0,
    }),
    over_near: trip(61.2, 300.0),
    over_far: trip(62.0, 0.16),
    under_near: trip(58.5, 300.0),
    under_far: trip(56.5, 0.16),
    enter_service: EnterService {
        from_hz: 59.5,
        to_hz: 60.1,
        wait_s: 300.0,
        ramp_s: 300.0,
    },
};

/// IEEE 1547-2003, to 30 kW.
///
/// Sources: 4.2.4, table 2 (above 60.5 Hz and below 59.3 Hz: 0.16 s); 4.2.6 (back after up to 5 min in range). From memory but
/// for 59.3 Hz.
const IEEE_1547_OF_2003: FrequencySettings = FrequencySettings {
    droop: None,
    over_near: trip(60.5, 0.16),
    over_far: trip(60.5, 0.16),
    under_near: trip(59.3, 0.16),
    under_far: trip(59.3, 0.16),
    enter_service: EnterService {
        from_hz: 59.4,
        to_hz: 60.4,
        wait_s: 300.0,
        ramp_s: 0.0,
    },
};

/// IEEE 1547a-2014 at its default settings.
///
/// Source: amendment 1, table 2 (60.5 Hz 2 s, 62.0 Hz 0.16 s, 59.5 Hz 2 s, 57.0 Hz 0.16 s); coming back as in 2003. From memory.
const IEEE_1547A_OF_2014: FrequencySettings = FrequencySettings {
    droop: None,
    over_near: trip(60.5, 2.0),
    over_far: trip(62.0, 0.16),
    under_near: trip(59.5, 2.0),
    under_far: trip(57.0, 0.16),
    enter_service: EnterService {
        from_hz: 59.6,
        to_hz: 60.4,
        wait_s: 300.0,
        ramp_s: 0.0,
    },
};

/// UL 1741 Supplement A as the first state rules set it.
///
/// Source: common practice and from memory: 60.5 Hz 299 s, 62.0 Hz 0.16 s, 58.5 Hz 299 s, 57.0 Hz 0.16 s; droop of 5 % above
/// 0.1 Hz; back after 300 s with a ramp.
const UL_1741_SUPPLEMENT_A: FrequencySettings = FrequencySettings {
    droop: Some(FrequencyDroop {
        from_hz: 60.1,
        slope_per_hz: 1.0 / (60.0 * 0.05),
        of: DroopBase::Rating,
        held_until_hz: None,
        response_s: 5.0,
    }),
    over_near: trip(60.5, 299.0),
    over_far: trip(62.0, 0.16),
    under_near: trip(58.5, 299.0),
    under_far: trip(57.0, 0.16),
    enter_service: EnterService {
        from_hz: 59.5,
        to_hz: 60.1,
        wait_s: 300.0,
        ramp_s: 300.0,
    },
};

/// EN 50549-1 at its default settings.
///
/// Sources: 4.6.1 (from 50.2 Hz, droop 5 %: 40 %/Hz, as published); response 2 s, interface trips 52.0 Hz and 47.5 Hz at 0.5 s, and
/// coming back 49.5 Hz to 50.2 Hz after 60 s at 10 %/min (4.9.3, 4.10) from memory.
const EN_50549: FrequencySettings = FrequencySettings {
    droop: Some(FrequencyDroop {
        from_hz: 50.2,
        slope_per_hz: 0.4,
        of: DroopBase::Rating,
        held_until_hz: None,
        response_s: 2.0,
    }),
    over_near: trip(52.0, 0.5),
    over_far: trip(52.0, 0.5),
    under_near: trip(47.5, 0.5),
    under_far: trip(47.5, 0.5),
    enter_service: EnterService {
        from_hz: 49.5,
        to_hz: 50.2,
        wait_s: 60.0,
        ramp_s: 600.0,
    },
};

/// VDE-AR-N 4105:2018.
///
/// Sources: from memory: from 50.2 Hz 40 %/Hz of the power at the crossing; trip above 51.5 Hz; back within 47.5 Hz to 50.1 Hz after
/// 60 s at 10 %/min. A later edition stands above this one.
const VDE_AR_N_4105: FrequencySettings = FrequencySettings {
    droop: Some(FrequencyDroop {
        from_hz: 50.2,
        slope_per_hz: 0.4,
        of: DroopBase::PowerAtStart,
        held_until_hz: None,
        response_s: 2.0,
    }),
    over_near: trip(51.5, 0.1),
    over_far: trip(51.5, 0.1),
    under_near: trip(47.5, 0.1),
    under_far: trip(47.5, 0.1),
    enter_service: EnterService {
        from_hz: 47.6,
        to_hz: 50.1,
        wait_s: 60.0,
        ramp_s: 600.0,
    },
};

/// Engineering Recommendation G98/G99.
///
/// Sources: from memory: from 50.4 Hz a droop of 10 % (20 %/Hz); 52.0 Hz 0.5 s; 47.5 Hz 20 s, 47.0 Hz 0.5 s; back within
/// 47.5 Hz to 51.5 Hz after 20 s.
const UK_G99: FrequencySettings = FrequencySettings {
    droop: Some(FrequencyDroop {
        from_hz: 50.4,
        slope_per_hz: 0.2,
        of: DroopBase::Rating,
        held_until_hz: None,
        response_s: 2.0,
    }),
    over_near: trip(52.0, 0.5),
    over_far: trip(52.0, 0.5),
    under_near: trip(47.5, 20.0),
    under_far: trip(47.0, 0.5),
    enter_service: EnterService {
        from_hz: 47.6,
        to_hz: 51.5,
        wait_s: 20.0,
        ramp_s: 0.0,
    },
};

/// AS/NZS 4777.2:2020, region Australia A.
///
/// Sources: 4.5.3 (from 50.25 Hz in a straight line to nothing at 52.0 Hz, held at the lowest until 50.15 Hz, as published); 4.4 trips
/// (52.0 Hz 0.2 s, 47.0 Hz 1 s) and 4.7 coming back (47.5 Hz to 50.15 Hz, 60 s, ramp of 6 min) from memory. Response 2 s
/// from memory.
const AS_NZS_4777: FrequencySettings = FrequencySettings {
    droop: Some(FrequencyDroop {
        from_hz: 50.25,
        slope_per_hz: 1.0 / (52.0 - 50.25),
        of: DroopBase::PowerAtStart,
        held_until_hz: Some(50.15),
        response_s: 2.0,
    }),
    over_near: trip(52.0, 0.2),
    over_far: trip(52.0, 0.2),
    under_near: trip(47.0, 1.0),
    under_far: trip(47.0, 1.0),
    enter_service: EnterService {
        from_hz: 47.5,
        to_hz: 50.15,
        wait_s: 60.0,
        ramp_s: 360.0,
    },
};

/// The older rule of 50 Hz supplies: all or nothing.
///
/// Source: from memory: DIN V VDE 0126-1-1 (50.2 Hz and 47.5 Hz, 0.2 s, back after 30 s).
const OLDER_AT_50_HZ: FrequencySettings = FrequencySettings {
    droop: None,
    over_near: trip(50.2, 0.2),
    over_far: trip(50.2, 0.2),
    under_near: trip(47.5, 0.2),
    under_far: trip(47.5, 0.2),
    enter_service: EnterService {
        from_hz: 47.6,
        to_hz: 50.1,
        wait_s: 30.0,
        ramp_s: 0.0,
    },
};

/// Gives the home another supply. Where that has another frequency, the PV inverters whose grid code knows only the former one follow
/// the code of their age there: all or nothing the older one, all others the present one.
pub fn take_supply(household: &mut Household, supply: Supply) {
    household.service.supply = supply;
    let nominal_hz = supply.frequency_hz();
    let inverters = (household.options.iter_mut()).flat_map(|option| &mut option.pv_inverters);
    for inverter in inverters {
        let known = settings(inverter.grid_code, supply);
        let enter = known.enter_service;
        if !(enter.from_hz..=enter.to_hz).contains(&nominal_hz) {
            inverter.grid_code = match known.droop {
                None => GridCode::NotKnown,
                Some(_) => GridCode::Present,
            };
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::check::problems;
    use crate::document::demo;

    #[test]
    fn a_home_with_another_supply_can_be_run() {
        let supplies = [
            Supply::SplitPhase120V240V60Hz,
            Supply::SinglePhase230V50Hz,
            Supply::ThreePhase230V400V50Hz,
            Supply::ThreePhase120V208V60Hz,
        ];
        for supply in supplies {
            let mut household = demo();
            take_supply(&mut household, supply);
            assert_eq!(problems(&household), Vec::new(), "{supply:?}");
        }
        let mut same = demo();
        let supply = same.service.supply;
        take_supply(&mut same, supply);
        assert_eq!(same, demo());
    }
}
