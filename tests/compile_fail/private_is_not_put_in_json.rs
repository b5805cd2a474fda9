//! A private value cannot stand in a JSON value.

use daywork::model::Private;

fn main() {
    let email = Private::new(String::from("yard@example.com"));
    let _ = serde_json::json!({ "email": email });
}
