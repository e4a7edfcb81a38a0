//! The macro that turns a kind's table of parameters into its constant and its named fields.

/// Declares a kind's parameters once: `PARAMETERS`, and `P<N>` with a field each.
///
/// `name: Quantity, low..=high, typical [* power ^ a] [* speed ^ b] [* coolant c] [* volts ^ d] [of swept ^ e],
/// within 1.5 [each] | plus 3.0 [each] | plate 1.2 | count 1.2 | exact, "source";`
/// `coolant` is a factor where coolant runs through it and not raw water; `volts` is the vessel's nominal voltage over 12 V; `swept` marks the dimensions whose product is
/// typical; `plate` and `count` are factors too, for what is exact once told and, of the last, whole. `within` is a factor either way, `plus` an amount either way [SI], both at 95 %;
/// `each` says that this doubt is of each part by itself (wear, dirt, how full), and none of its sister's.
#[macro_export]
macro_rules! parameters {
    ($( $(#[doc = $doc:literal])+ $name:ident : $quantity:ident, $low:literal ..= $high:literal,
        $typical:literal $(* power ^ $power:literal)? $(* speed ^ $speed:literal)? $(* coolant $coolant:literal)? $(* volts ^ $volts:literal)? $(of swept ^ $swept:literal)? , $spread:ident $($by:literal)? $($each:ident)?, $source:literal ; )*) => {
        /// The parameters of this kind.
        pub const PARAMETERS: &[$crate::kind::Parameter] = &[ $( $crate::kind::Parameter {
            name: stringify!($name),
            title: concat!($($doc),+),
            quantity: measure::quantity::Quantity::$quantity,
            range: ($low, $high),
            typical: $crate::kind::Typical {
                value: $typical,
                power: 0.0 $(+ $power)?,
                speed: 0.0 $(+ $speed)?,
                in_coolant: 1.0 $(* $coolant)?,
                of_swept: 0.0 $(+ $swept)?,
                volts: 0.0 $(+ $volts)?,
            },
            spread: $crate::parameters!(@spread $spread $($by)?),
            once_told: $crate::parameters!(@told $spread),
            each: $crate::parameters!(@each $($each)?),
            source: $source,
        } ),* ];

        /// The same, by name.
        #[derive(Copy, Clone, Debug)]
        #[allow(dead_code)]
        pub struct P<N> { $( $(#[doc = $doc])+ pub $name: N ),* }

        impl<N: physics::number::Number> P<N> {
            /// From the values in the order of the table [SI].
            #[allow(unused_assignments, unused_mut, unused_variables)]
            pub fn of(values: &[N]) -> Self {
                let mut next = 0;
                $( let $name = values[next]; next += 1; )*
                P { $($name),* }
            }
        }
    };
    (@spread within $by:literal) => { measure::figure::Spread::Factor($by) };
    (@spread plus $by:literal) => { measure::figure::Spread::Plus($by) };
    (@spread plate $by:literal) => { measure::figure::Spread::Factor($by) };
    (@spread count $by:literal) => { measure::figure::Spread::Factor($by) };
    (@told plate) => { $crate::kind::OnceTold::Exact };
    (@told count) => { $crate::kind::OnceTold::Whole };
    (@told $other:ident) => { $crate::kind::OnceTold::Near };
    (@each each) => { true };
    (@each) => { false };
    (@spread exact) => { measure::figure::Spread::Exact };
}
