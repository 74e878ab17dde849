//! Sections whose figures take long: they are asked for when the report is opened, and say what is missing until they are there.

use couplet_core::coupling::CouplingOption;
use couplet_core::household::{AcSide, Household, OptionId};
use leptos::prelude::*;

use super::Section;
use crate::format;
use crate::inquiry::Inquiry;
use crate::regions::survival::STARTS;
use crate::work::protocol::{Found, Question, Topic};

/// Sections that are asked for.
pub(super) const ASKED: [Section; 4] = [
    Section::Best,
    Section::Survival,
    Section::Export,
    Section::Cost,
];

/// What they ask about.
pub(super) const TOPICS: [Topic; 4] = [
    Topic::Best,
    Topic::SurvivalByCharge,
    Topic::ExportControl,
    Topic::Money,
];

/// Whether something in the option can hold the backed-up side.
pub(super) fn islands(option: &CouplingOption) -> bool {
    option.generator.is_some()
        || option
            .storage
            .iter()
            .any(|unit| unit.side == AcSide::BackedUp)
}

/// Whether there is PV that an export limit holds back.
pub(super) fn limits_pv(household: &Household, option: &CouplingOption) -> bool {
    household.service.utility
        && household.service.export_limit_w.is_some()
        && !option.arrays.is_empty()
}

/// What a section asks about an option; none: there is nothing to ask.
pub(super) fn question(
    section: Section,
    household: &Household,
    option: &CouplingOption,
    day: u32,
) -> Option<(Topic, Question)> {
    if !household.service.utility && section != Section::Cost {
        return None;
    }
    let id = option.id;
    match section {
        Section::Survival if islands(option) => Some((
            Topic::SurvivalByCharge,
            Question::SurvivalByCharge {
                option: id,
                starts: STARTS.iter().map(|(start, _)| *start).collect(),
            },
        )),
        Section::Export if limits_pv(household, option) => Some((
            Topic::ExportControl,
            Question::ExportControl { option: id, day },
        )),
        Section::Cost => Some((Topic::Money, Question::Money(id))),
        Section::Best if !option.storage.is_empty() => Some((Topic::Best, Question::Best(id))),
        _ => None,
    }
}

/// What was found, or why it is not there and how to get it.
pub(super) fn when_known(
    inquiry: Inquiry,
    topic: Topic,
    option: OptionId,
    shown: impl Fn(&Found) -> Option<AnyView> + Send + Sync + 'static,
) -> AnyView {
    let share_done = inquiry.share_done(topic);
    let trouble = inquiry.trouble(topic);
    let found = Memo::new(move |_| inquiry.answer(topic, option).map(Same));
    let content = move || {
        if let Some(content) = found.get().and_then(|found| shown(&found.0)) {
            return content;
        }
        if let Some(trouble) = trouble.get() {
            return view! { <p class="note" role="alert">{format!("Not computed. {trouble}")}</p> }
                .into_any();
        }
        if !inquiry.sound.get() {
            return view! {
                <p class="note">
                    "Not computed: this household cannot be computed as it stands. Mend what is named above the desk, then open the report again."
                </p>
            }
            .into_any();
        }
        view! {
            <p class="note report-waiting">
                "Not computed yet" {move || share_done.get().map(|share| format!(" ({})", format::percent(share, 0).text()))}
                ": it is being computed now. Leave the report open until it stands here, then print."
            </p>
        }
        .into_any()
    };
    content.into_any()
}

/// The same only if it is the same allocation.
#[derive(Clone)]
struct Same(std::sync::Arc<Found>);

impl PartialEq for Same {
    fn eq(&self, other: &Self) -> bool {
        std::sync::Arc::ptr_eq(&self.0, &other.0)
    }
}
