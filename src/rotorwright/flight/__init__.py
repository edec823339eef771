"""The one equation of motion and everything asked of it. The only place where the physics rooms meet."""
