//! By which methods the points of a curve were computed, in words for the reader.

use crate::experiment::{Method, Trace};
use crate::figure::describe::figures;

/// A sentence that names the methods of a run in the order along x, each with the stretch that it
/// made when there are several; empty when the run names none.
pub(super) fn words(trace: &Trace, si_per_unit: f64, unit: &str) -> String {
    let mut stretches: Vec<(Method, f64, f64)> = Vec::new();
    for (method, x) in trace.methods.iter().zip(&trace.x.values) {
        if *method == Method::None {
            continue;
        }
        let x = x / si_per_unit;
        match stretches.last_mut() {
            Some((last, _, to)) if last == method => *to = x,
            _ => stretches.push((*method, x, x)),
        }
    }
    let mut named: Vec<Method> = Vec::new();
    for (method, _, _) in &stretches {
        if !named.contains(method) {
            named.push(*method);
        }
    }
    match (named.as_slice(), stretches.len()) {
        ([], _) => String::new(),
        ([one], _) => format!("How it was computed: {}.", one.words()),
        // A few stretches are told apart by their places; many are only counted up.
        (_, 2..=4) => {
            let told: Vec<String> = stretches
                .iter()
                .map(|(method, from, to)| {
                    format!(
                        "from {} to {} {unit}, {}",
                        figures(*from),
                        figures(*to),
                        method.words()
                    )
                })
                .collect();
            format!("How it was computed: {}.", told.join("; "))
        }
        _ => {
            let told: Vec<&str> = named.iter().map(|method| method.words()).collect();
            format!(
                "How it was computed, point by point: {}.",
                told.join("; or ")
            )
        }
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used, reason = "a test stops at the first surprise")]
mod tests {
    use super::*;
    use crate::experiment::{Setup, run};
    use Method::{FokkerPlanck, Langevin, None, PeriodAverage};

    fn said(methods: &[Method]) -> String {
        let setup = Setup::new("screened-loop").unwrap();
        let x: Vec<f64> = (0_u8..)
            .take(methods.len())
            .map(|k| f64::from(k) * 0.5)
            .collect();
        let mut trace = run(&setup, &x).unwrap();
        trace.methods = methods.to_vec();
        words(&trace, 0.5, "Φ0")
    }

    #[test]
    fn one_method_is_named_once_and_several_with_their_stretches() {
        assert_eq!(said(&[]), "");
        assert_eq!(said(&[None, None]), "");
        let one = said(&[None, FokkerPlanck, FokkerPlanck]);
        assert_eq!(
            one,
            format!("How it was computed: {}.", FokkerPlanck.words())
        );
        let two = said(&[FokkerPlanck, FokkerPlanck, Langevin, Langevin, Langevin]);
        assert!(
            two.contains("from 0 to 1.00 Φ0") && two.contains("from 2.00 to 4.00 Φ0"),
            "{two}"
        );
        let mixed = said(&[
            Langevin,
            PeriodAverage,
            Langevin,
            PeriodAverage,
            Langevin,
            PeriodAverage,
        ]);
        assert!(
            mixed.contains("point by point") && mixed.matches(Langevin.words()).count() == 1,
            "{mixed}"
        );
    }
}
