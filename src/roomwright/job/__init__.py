"""The facts: entities, and the store and journal that keep them."""
