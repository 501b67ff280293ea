"""The tests: test_<package>_<module>.py, published/ against outside sources, bench/ for speed."""
