//! Every text of a household is in the words of the trade under its code.

use couplet_core::coupling::{CouplingOption, Generator};
use couplet_core::document::demo;
use couplet_core::drawing::{Imprint, Paper, Shape, full_sheet};
use couplet_core::findings::{Caution, DesignTemperatures, Details, conductor_schedule, findings};
use couplet_core::household::{Household, NeutralAtTransfer};
use couplet_core::parts_list::{LengthUnit, csv, left_out, parts_list};
use couplet_core::rules::{Code, Metal};
use couplet_tests::any::any_household;
use couplet_tests::draws;
use proptest::prelude::*;
use proptest::sample::select;

/// What findings, schedule, sheet, parts list and cautions of an option say under a code.
fn told(household: &Household, option: &CouplingOption, code: Code) -> String {
    let temperatures = DesignTemperatures::of(&household.site, None);
    let details = Details::under(code, household, option, &temperatures);
    let circuits = conductor_schedule(household, option, &details);
    let found = findings(household, option, &details, &temperatures);
    let mut texts = vec![
        csv(
            &parts_list(household, option, &details, &circuits, &found),
            LengthUnit::Metres,
        ),
        left_out(code).join("\n"),
    ];
    for finding in &found {
        texts.extend([finding.title, &finding.formula, &finding.remedy].map(str::to_owned));
        texts.extend(finding.assumed.iter().map(|what| (*what).to_owned()));
        texts.extend((finding.missing.iter()).map(|missing| missing.words(code).to_owned()));
    }
    texts.extend(Caution::ALL.map(|caution| caution.words(code).to_owned()));
    texts.extend(circuits.iter().map(|circuit| circuit.name.clone()));
    let imprint = Imprint { date: "2030-01-01" };
    let sheet = full_sheet(household, option, &details, Paper::A4, imprint);
    texts.extend(sheet.inks.into_iter().filter_map(|ink| match ink.shape {
        Shape::Text(lettering) => Some(lettering.text),
        _ => None,
    }));
    texts.join("\n").to_lowercase()
}

/// Words that are not said under a code. Ground is also what a storage unit stands on and what lightning strikes.
fn foreign(code: Code) -> &'static [&'static str] {
    match code {
        Code::Nec(_) => &["earth", "aluminium", "protective conductor"],
        Code::Iec => &[
            "aluminum",
            "grounding",
            "grounded",
            "ground fault",
            "ground-fault",
            "and ground",
            "to ground",
        ],
    }
}

fn assert_native(text: &str, code: Code) {
    for word in foreign(code) {
        let line = text.lines().find(|line| line.contains(word));
        assert_eq!(line, None, "{word:?} under {code}");
    }
}

proptest! {
    #![proptest_config(draws(48))]

    #[test]
    fn no_text_is_in_the_words_of_another_code(household in any_household(), code in select(Code::ALL.to_vec())) {
        for option in &household.options {
            assert_native(&told(&household, option, code), code);
        }
    }
}

/// The words themselves are there: a household with conductors in parallel, aluminium, and a generator, with and without a utility.
#[test]
fn each_code_has_its_own_words_for_earth_and_aluminium() {
    for code in Code::ALL {
        let mut household = demo();
        household.electrical.grid_side.supply_side = true;
        household.electrical.transfer_circuit.parallel = Some(2);
        household.electrical.transfer_circuit.metal = Some(Metal::Aluminium);
        household.electrical.dc_fault_detection = Some(false);
        let mut option = household.options[2].clone();
        option.generator = Some(Generator::generic("Generator".to_owned(), 12_000.0));
        let mut text = told(&household, &option, code);
        household.electrical.neutral = Some(NeutralAtTransfer::SwitchedWithoutBond);
        household.leave_grid();
        text += &told(&household, &option, code);
        assert_native(&text, code);
        let own = match code {
            Code::Nec(_) => [
                "equipment grounding conductor",
                "and ground",
                "ground-fault",
                "aluminum",
            ],
            Code::Iec => [
                "protective conductor",
                "and earth",
                "earth-fault",
                "aluminium",
            ],
        };
        for word in own {
            assert!(text.contains(word), "{word:?} under {code}");
        }
    }
}
