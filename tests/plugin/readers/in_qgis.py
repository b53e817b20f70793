"""Shares, the driver and the styles in the core of a general desktop GIS, without a screen.

in_qgis.py layers|styles FOLDER
"""
import os
import sys

from qgis.core import (QgsApplication, QgsFeatureRequest, QgsMapRendererParallelJob, QgsMapSettings,
                       QgsRectangle, QgsVectorLayer)
from qgis.PyQt.QtCore import QSize
from qgis.PyQt.QtGui import QColor

what, folder = sys.argv[1:]
app = QgsApplication([], False)
app.initQgis()

# Of the shapes that have an inside.
COLOURS = {'nests': ['#e0b030', '#3b3b3b', '#9c4a1a', '#2f7f86'],
           'nest_counts': ['#f0e6c8', '#dcbf72', '#b07a2a', '#5d3a12']}


def layer_of(source):
    layer = QgsVectorLayer(source, 'layer', 'ogr')
    assert layer.isValid(), (source, layer.error().message())
    return layer


def picture_of(layer, name):
    """Rendered on white; the number of pixels of each colour."""
    settings = QgsMapSettings()
    settings.setLayers([layer])
    settings.setDestinationCrs(layer.crs())
    box = QgsRectangle(layer.extent())
    box.grow(0.01)
    settings.setExtent(box)
    settings.setOutputSize(QSize(500, 500))
    settings.setBackgroundColor(QColor('white'))
    settings.setFlag(QgsMapSettings.Antialiasing, False)
    job = QgsMapRendererParallelJob(settings)
    job.start()
    job.waitForFinished()
    image = job.renderedImage()
    image.save(os.path.join(folder, name + '.png'))
    pixels = {}
    for y in range(image.height()):
        for x in range(image.width()):
            colour = image.pixelColor(x, y).name()
            pixels[colour] = pixels.get(colour, 0) + 1
    return pixels


def names_of(layer):
    return [field.name() for field in layer.fields()]


def layers():
    for tier in ('exact', 'grid', 'cells'):
        name = 'nest_counts' if tier == 'cells' else 'nests'
        path = f'{folder}/{tier}.gpkg|layername={name}'
        layer = layer_of(path)
        assert layer.crs().authid() == 'EPSG:4326', layer.crs().authid()
        count = layer.featureCount()
        assert count == sum(1 for _ in layer.getFeatures()) and count > 0, count
        if tier != 'cells':
            assert count == 60, count
        box = layer.extent()
        assert -77.2 < box.xMinimum() < box.xMaximum() < -76.9, box.toString()
        # A window, and a rule, each beside a look at every row.
        half = QgsRectangle(box.xMinimum(), box.yMinimum(), box.center().x(), box.yMaximum())
        wanted = sum(1 for f in layer.getFeatures() if f.geometry().boundingBox().intersects(half))
        assert wanted == sum(1 for _ in layer.getFeatures(QgsFeatureRequest(half))), wanted
        assert layer.setSubsetString("taxon = 'Vespa crabro'")
        some = sum(1 for _ in layer.getFeatures())
        assert 0 < some < count and some == layer.featureCount(), some
        layer.setSubsetString('')
        # The style is in the file, is its default, and is drawn.
        fresh = layer_of(path)
        words, loaded = fresh.loadDefaultStyle()
        assert loaded, words
        assert fresh.renderer().type() == 'RuleRenderer', fresh.renderer().type()
        pixels = picture_of(fresh, tier)
        drawn = [colour for colour in COLOURS[name] if pixels.get(colour, 0) > 20]
        if tier == 'exact':
            assert drawn == COLOURS[name], (drawn, pixels)
            # The cross, for what nobody named, has none: lines in the outline's grey.
            assert fresh.setSubsetString("taxon = 'Vespidae'")
            crosses = picture_of(fresh, 'crosses')
            assert not set(crosses) & set(COLOURS[name]), crosses
            assert 20 < 500 * 500 - crosses['#ffffff'] < 5000, crosses
        assert drawn and pixels.get('#ffffff', 0) > 1000, pixels
        print(f'{tier}: {count} features, drawn in {len(drawn)} colours')
    # The driver, live.
    book = f'NESTROUND:{folder}/book.gpkg?on=2026-08-04'
    nests = layer_of(f'{book}|layername=nests')
    assert nests.featureCount() == 60 and 'season' in names_of(nests)
    box = nests.extent()
    half = QgsRectangle(box.xMinimum(), box.yMinimum(), box.center().x(), box.yMaximum())
    got = sum(1 for _ in nests.getFeatures(QgsFeatureRequest(half)))
    assert 0 < got < 60, got
    assert got == sum(1 for f in nests.getFeatures() if half.contains(f.geometry().asPoint()))
    assert nests.setSubsetString("taxon = 'VMAC'") and nests.featureCount() == 12
    waiting = layer_of(f'{book}|layername=waiting_calls')
    assert waiting.featureCount() == 60
    ranks = [f['rank'] for f in waiting.getFeatures()]
    assert ranks == sorted(ranks) and ranks[0] == 1
    assert not set(names_of(waiting)) & {'client', 'phone', 'address'}
    pixels = picture_of(waiting, 'waiting_calls')
    assert len(pixels) > 1 and pixels.get('#ffffff', 0) < 500 * 500, pixels
    assert not waiting.startEditing(), 'the layers are for reading'
    print('driver: 60 nests, 60 waiting calls')


MARKS = {8: 'circle', 0: 'square', 4: 'triangle', 6: 'star', 9: 'cross'}


def styles():
    for name, tier in (('nests', 'exact'), ('nest_counts', 'cells')):
        path = f'{folder}/{tier}.gpkg|layername={name}'
        by_sld = layer_of(path)
        words, loaded = by_sld.loadSldStyle(f'{folder}/{name}.sld')
        assert loaded, words
        lines = []
        for rule in by_sld.renderer().rootRule().children():
            assert rule.symbol().symbolLayerCount() == 1
            mark = rule.symbol().symbolLayer(0)
            if name == 'nests':
                lines.append([rule.label(), MARKS[int(mark.shape())], mark.color().name(),
                              mark.strokeColor().name(), f'{mark.size():g}',
                              f'{mark.strokeWidth():g}'])
            else:
                lines.append([rule.label(), 'fill', mark.color().name(), mark.strokeColor().name(),
                              f'{mark.strokeWidth():g}'])
        with open(f'{folder}/{name}.qgis', 'w', encoding='utf-8') as out:
            out.write(''.join('|'.join(line) + '\n' for line in lines))
        # The style in the file and the one beside it give the same picture, colour by colour.
        by_qml = layer_of(path)
        assert by_qml.loadDefaultStyle()[1]
        assert picture_of(by_sld, name + '_sld') == picture_of(by_qml, name + '_qml')


{'layers': layers, 'styles': styles}[what]()
app.exitQgis()
