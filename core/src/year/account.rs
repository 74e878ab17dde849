//! How the energies of an account are declared and added up.

/// Declares an account: a struct of energies in Wh that is filled one step at a time.
///
/// A step is a value of the same type that holds mean powers in W under the names of the energies. The account needs `in_wh`, all
/// that came in, and `error_wh`, what is left unaccounted for.
macro_rules! account {
    (
        $(#[$about:meta])*
        pub struct $name:ident {
            $($(#[$what:meta])* pub $energy_wh:ident: f64,)*
        }
    ) => {
        $(#[$about])*
        pub struct $name {
            $($(#[$what])* pub $energy_wh: f64,)*
            /// Widest gap of any single step, as a share of what came in during that step (or of 1 W where less came in).
            pub worst_step_gap: f64,
        }

        impl $name {
            /// Adds one step, given as mean powers in W.
            pub(crate) fn add(&mut self, step: &Self, step_h: f64) {
                let gap = step.error_wh().abs() / step.in_wh().max(1.0);
                self.worst_step_gap = self.worst_step_gap.max(gap);
                $(self.$energy_wh += step.$energy_wh * step_h;)*
            }
        }
    };
}
pub(crate) use account;
