//! The blank form: which fields an entry of the spec has and what each of them takes.
//!
//! A field is one row of a `form!` table. From that row come the typed struct the engineering reads, the reader itself,
//! the JSON Schema in `schema/` and the property a rule can ask for; so they cannot drift apart.

use crate::measure::Measure;

/// What a field takes.
#[derive(Debug)]
pub enum Shape {
    /// A quantity of nought or more, such as `55 gal`.
    Amount(Measure),
    /// A quantity that may be negative, such as a position.
    Offset(Measure),
    /// One word of a list.
    Word(&'static [&'static str]),
    /// `yes` or `no`.
    Flag,
    /// Free text.
    Text,
    /// A calendar day, `2027-06-30`.
    Date,
    /// The id of a part (`water`) or of one of its ports (`water.outlet`).
    Part,
    /// Length x width x height.
    Size,
    /// Width x height.
    Opening,
    /// A strength with its basis, `12.5 % trade`.
    Strength,
    /// A conductor size, `8 AWG` or `10 mm2`.
    Gauge,
    /// A list.
    Many(&'static Shape),
    /// Entries under names of the writer's choice.
    Named(&'static Shape),
    /// A group of fields.
    Group(&'static Form),
    /// The kind of a part.
    PartKind,
    /// A part: the fields depend on its `kind`.
    AnyPart,
}

/// One row of a form.
#[derive(Debug)]
pub struct Field {
    /// The key in the spec.
    pub key: &'static str,
    /// What it takes.
    pub shape: Shape,
    /// A value as it would be written, as YAML.
    pub example: &'static str,
    /// What it means, for the editor and the script author.
    pub help: &'static str,
}

/// The fields of one kind of entry.
#[derive(Debug)]
pub struct Form {
    /// The name of the entry: what a rule's `each` asks for.
    pub word: &'static str,
    /// What the entry is.
    pub help: &'static str,
    /// Its own fields, in reading order.
    pub fields: &'static [Field],
    /// Fields that it shares with others (those of every part).
    pub shared: Option<&'static Form>,
    /// The field that a bare value stands for: `holds: water` is `holds: { fluid: water }`.
    pub short: Option<&'static str>,
    /// Fields without which the entry says nothing.
    pub required: &'static [&'static str],
}

impl Form {
    /// Every field, shared ones first.
    pub fn all_fields(&self) -> impl Iterator<Item = &'static Field> {
        self.shared.map_or(&[][..], |shared| shared.fields).iter().chain(self.fields)
    }

    /// The field under `key`; a script's `to_nose` finds `to-nose`.
    pub fn field(&self, key: &str) -> Option<&'static Field> {
        self.all_fields().find(|field| same_word(field.key, key))
    }
}

/// Whether a key of the spec and a word of a script are the same: scripts write `_` for `-`.
pub fn same_word(key: &str, word: &str) -> bool {
    key.len() == word.len() && key.bytes().zip(word.bytes()).all(|(a, b)| a == b || (a == b'-' && b == b'_'))
}

/// Declares one kind of entry: the struct, its blank form and its reader, a row a field.
///
/// A row reads `field "key": Type = shape, "example";` under its doc comment. `shared` takes the fields of another form
/// into the same mapping; `short` names the field that a bare value stands for; `required` names the fields it can't do without.
macro_rules! form {
    (
        $(#[doc = $help:literal])+
        $name:ident $word:literal $(, shared $shared:ident)? $(, short $short:literal)? $(, required [$($required:literal),+])? {
            $( $(#[doc = $row_help:literal])+ $field:ident $key:literal : $type:ty = $shape:expr, $example:literal; )*
        }
    ) => {
        $(#[doc = $help])+
        #[derive(Debug, Clone)]
        pub struct $name {
            /// Where it stands.
            pub entry: $crate::rig::EntryId,
            $( $(#[doc = $row_help])+ pub $field: $type, )*
        }

        impl $name {
            /// The blank form.
            pub const FORM: &'static $crate::rig::form::Form = &$crate::rig::form::Form {
                word: $word,
                help: concat!($($help),+),
                fields: &[ $( $crate::rig::form::Field {
                    key: $key,
                    shape: $shape,
                    example: $example,
                    help: concat!($($row_help),+),
                } ),* ],
                shared: form!(@shared $($shared)?),
                short: form!(@short $($short)?),
                required: &[$($($required),+)?],
            };

            /// Reads the fields of an entry that is open already.
            pub(in crate::rig) fn fill<'a>(takeoff: &mut $crate::rig::takeoff::Takeoff<'a>, entry: $crate::rig::EntryId) -> Self {
                Self {
                    entry,
                    $( $field: {
                        let spot = takeoff.spot(entry, $key);
                        <$type as $crate::rig::takeoff::Taken>::take(takeoff, spot, const { &$shape })
                    }, )*
                }
            }
        }

        impl $crate::rig::takeoff::Taken for $name {
            fn take<'a>(
                takeoff: &mut $crate::rig::takeoff::Takeoff<'a>,
                spot: $crate::rig::takeoff::Spot<'a>,
                _shape: &'static $crate::rig::form::Shape,
            ) -> Self {
                let entry = takeoff.open(Self::FORM, spot);
                Self::fill(takeoff, entry)
            }
        }
    };
    (@shared) => { None };
    (@shared $shared:ident) => { Some($shared::FORM) };
    (@short) => { None };
    (@short $short:literal) => { Some($short) };
}
pub(crate) use form;
