//! An array's modules by their data sheet.

use couplet_core::coupling::{Array, ModuleSheet};
use couplet_core::household::ArrayId;
use couplet_core::limits::{self, Limit};
use leptos::prelude::*;

use super::super::row::Row;
use super::whole;
use crate::judged::Judged;

/// The data sheet's numbers; the first that is typed takes the others along.
pub(in super::super) fn module_fields(row: &Row<Array>, judged: Judged, id: ArrayId) -> AnyView {
    let in_force = move |pick: fn(&ModuleSheet) -> Option<f64>| {
        Signal::derive(move || {
            judged
                .details
                .with(|details| pick(&details.as_ref()?.array(id)?.module))
        })
    };
    let number = |limit: &'static Limit,
                  get: fn(&ModuleSheet) -> Option<f64>,
                  set: fn(&mut ModuleSheet, Option<f64>, &ModuleSheet)| {
        row.optional(
            limit,
            limit.key(),
            in_force(get),
            move |array| array.electrical.module.as_ref().and_then(get),
            move |array, value| {
                let generic = ModuleSheet::generic(array.peak_w);
                if value.is_some() || array.electrical.module.is_some() {
                    let sheet = array.electrical.module.get_or_insert(generic);
                    set(sheet, value, &generic);
                }
            },
        )
    };
    let (given, to_generic) = (
        row.read(|array| array.electrical.module.is_some()),
        row.clone(),
    );
    view! {
        {number(
            &limits::MODULE_COUNT,
            |sheet| Some(f64::from(sheet.count)),
            |sheet, value, generic| sheet.count = value.map_or(generic.count, whole),
        )}
        {number(
            &limits::MODULE_VOC_V,
            |sheet| Some(sheet.voc_v),
            |sheet, value, generic| sheet.voc_v = value.unwrap_or(generic.voc_v),
        )}
        {number(
            &limits::MODULE_ISC_A,
            |sheet| Some(sheet.isc_a),
            |sheet, value, generic| sheet.isc_a = value.unwrap_or(generic.isc_a),
        )}
        {number(
            &limits::MODULE_VMP_V,
            |sheet| Some(sheet.vmp_v),
            |sheet, value, generic| sheet.vmp_v = value.unwrap_or(generic.vmp_v),
        )}
        {number(
            &limits::MODULE_IMP_A,
            |sheet| Some(sheet.imp_a),
            |sheet, value, generic| sheet.imp_a = value.unwrap_or(generic.imp_a),
        )}
        {number(
            &limits::MODULE_VOC_PER_C,
            |sheet| sheet.voc_per_c,
            |sheet, value, _| sheet.voc_per_c = value,
        )}
        {number(
            &limits::MODULE_VMP_PER_C,
            |sheet| sheet.vmp_per_c,
            |sheet, value, _| sheet.vmp_per_c = value,
        )}
        {number(
            &limits::MODULE_SERIES_FUSE_A,
            |sheet| Some(sheet.series_fuse_a),
            |sheet, value, generic| sheet.series_fuse_a = value.unwrap_or(generic.series_fuse_a),
        )}
        <Show
            when=move || given.get()
            fallback=|| view! {
                <p class="note">"Generic modules until a number of the data sheet is typed; from then on all of them count as given."</p>
            }
        >
            {
                let row = to_generic.clone();
                view! {
                    <button
                        type="button"
                        class="quiet"
                        on:click=move |_| row.change(None, "back to generic modules", |array| array.electrical.module = None)
                    >
                        "Back to generic modules"
                    </button>
                }
            }
        </Show>
    }
    .into_any()
}
