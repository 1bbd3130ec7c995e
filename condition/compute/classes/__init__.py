"""Classes proposed from what was found: rules, situations, and the reasons of each proposal."""
