//! Flows laid on one another, from the axis outward.

use couplet_core::year::Flow;

/// One flow between its two edges, W from the axis, one value per step.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Layer<Party> {
    pub(crate) party: Party,
    pub(crate) inner_w: Vec<f64>,
    pub(crate) outer_w: Vec<f64>,
}

/// Below this a flow of a whole day is not drawn: it would be thinner than any line.
const LEAST_W: f64 = 0.5;

/// Stacks the flows in their order; flows that never carry anything are left out.
pub(crate) fn stack<Party: Copy>(flows: &[Flow<Party>]) -> Vec<Layer<Party>> {
    let mut edge_w: Vec<f64> = Vec::new();
    let mut layers = Vec::new();
    for flow in flows {
        if !flow.power_w.iter().any(|power_w| *power_w >= LEAST_W) {
            continue;
        }
        edge_w.resize(flow.power_w.len(), 0.0);
        let outer_w: Vec<f64> = edge_w
            .iter()
            .zip(&flow.power_w)
            .map(|(edge_w, power_w)| edge_w + power_w.max(0.0))
            .collect();
        layers.push(Layer {
            party: flow.party,
            inner_w: std::mem::replace(&mut edge_w, outer_w.clone()),
            outer_w,
        });
    }
    layers
}

/// The highest edge of a stack, W.
pub(crate) fn top_w<Party>(layers: &[Layer<Party>]) -> f64 {
    let outermost = layers.last().map(|layer| layer.outer_w.as_slice());
    outermost
        .unwrap_or_default()
        .iter()
        .fold(0.0, |top, edge_w| edge_w.max(top))
}

/// Corners of a line of steps: each value holds from its step's start to its end. `from` and `per_step` are in units of the
/// horizontal axis.
pub(crate) fn step_line(values: &[f64], from: f64, per_step: f64) -> Vec<(f64, f64)> {
    let mut corners = Vec::with_capacity(values.len() * 2);
    let mut at = from;
    for value in values {
        corners.push((at, *value));
        at += per_step;
        corners.push((at, *value));
    }
    corners
}

/// Outline of a layer of steps: along the outer edge and back along the inner one.
pub(crate) fn outline<Party>(layer: &Layer<Party>, per_step: f64, sign: f64) -> Vec<(f64, f64)> {
    let scaled = |edge_w: &[f64]| step_line(edge_w, 0.0, per_step);
    let there = scaled(&layer.outer_w);
    let back = scaled(&layer.inner_w).into_iter().rev();
    there
        .into_iter()
        .chain(back)
        .map(|(at, edge_w)| (at, sign * edge_w))
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn flow(party: char, power_w: &[f64]) -> Flow<char> {
        Flow {
            party,
            power_w: power_w.to_vec(),
        }
    }

    #[test]
    fn each_layer_stands_on_the_one_before() {
        let layers = stack(&[flow('a', &[100.0, 0.0]), flow('b', &[50.0, 70.0])]);
        assert_eq!(layers[1].inner_w, layers[0].outer_w);
        assert_eq!(layers[1].outer_w, vec![150.0, 70.0]);
        assert!((top_w(&layers) - 150.0).abs() < 1e-12);
    }

    #[test]
    fn a_flow_that_never_carries_anything_is_left_out() {
        let layers = stack(&[flow('a', &[0.0, 0.1]), flow('b', &[5.0, 7.0])]);
        assert_eq!(layers.len(), 1);
        assert_eq!(layers[0].party, 'b');
        assert_eq!(layers[0].inner_w, vec![0.0, 0.0]);
    }

    #[test]
    fn an_outline_is_made_of_steps_and_closes_on_the_inner_edge() {
        let layers = stack(&[flow('a', &[1.0, 2.0])]);
        let outline = outline(&layers[0], 15.0, -1.0);
        let expected = [
            (0.0, -1.0),
            (15.0, -1.0),
            (15.0, -2.0),
            (30.0, -2.0),
            (30.0, -0.0),
            (15.0, -0.0),
            (15.0, -0.0),
            (0.0, -0.0),
        ];
        assert_eq!(outline, expected);
    }
}
