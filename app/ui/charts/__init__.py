"""What every glucose chart is made of; imported only once a chart is shown, since pyqtgraph is."""
