//! Types that are written as another type is have that one's schema.

/// The schema of a type that is serialised as one of others.
macro_rules! written_as {
    ($type:ty: $($json:ty),+) => {
        impl schemars::JsonSchema for $type {
            fn inline_schema() -> bool {
                true
            }

            fn schema_name() -> std::borrow::Cow<'static, str> {
                stringify!($type).into()
            }

            fn json_schema(all: &mut schemars::SchemaGenerator) -> schemars::Schema {
                crate::wire::one_of(&[$(all.subschema_for::<$json>()),+])
            }
        }
    };
}

pub(crate) use written_as;

/// What fits any of these.
pub(crate) fn one_of(schemas: &[schemars::Schema]) -> schemars::Schema {
    match schemas {
        [only] => only.clone(),
        several => {
            let several: Vec<serde_json::Value> = several.iter().cloned().map(schemars::Schema::to_value).collect();
            schemars::json_schema!({ "anyOf": several })
        }
    }
}
