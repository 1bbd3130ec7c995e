"""The register: what stands where."""
